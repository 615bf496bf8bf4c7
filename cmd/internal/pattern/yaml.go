// SPDX-License-Identifier: Apache-2.0

package pattern

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/scanner"
	"github.com/goccy/go-yaml/token"
)

// parseYAML returns the root of the one document in text, or what is wrong
// with it. A panic of the library is a problem too.
func parseYAML(text string) (root *node, problems []Problem) {
	defer func() {
		if r := recover(); r != nil {
			root, problems = nil, []Problem{{
				Message: "this is YAML that can't be read here",
				Hint:    "write one `key: value` on each line"}}
		}
	}()
	if problems := otherDashes(text); len(problems) > 0 {
		return nil, problems
	}
	tokens, bad := scan(text)
	if bad != nil {
		return nil, []Problem{syntaxProblem(text, bad.Error, bad)}
	}
	if problems := refused(tokens); len(problems) > 0 {
		return nil, problems
	}
	// Duplicate keys are found later, all of them and not only the first.
	file, err := parser.Parse(tokens, 0, parser.AllowDuplicateMapKey())
	if err != nil {
		var syntax interface {
			error
			GetMessage() string
			GetToken() *token.Token
		}
		if errors.As(err, &syntax) {
			return nil, []Problem{syntaxProblem(text, syntax.GetMessage(), syntax.GetToken())}
		}
		return nil, []Problem{syntaxProblem(text, err.Error(), nil)}
	}
	for _, doc := range file.Docs {
		if doc.Body != nil {
			return toNode(doc.Body), nil
		}
	}
	return nil, nil
}

// scan splits the text into tokens and stops at the first that is not valid.
// (The library's own loop goes on behind it, again and again.)
func scan(text string) (token.Tokens, *token.Token) {
	var s scanner.Scanner
	s.Init(text)
	var tokens token.Tokens
	for {
		some, err := s.Scan()
		tokens.Add(some...)
		if err == io.EOF {
			return tokens, nil
		}
		if bad := tokens.InvalidToken(); bad != nil {
			return nil, bad
		}
		if err != nil {
			return nil, token.Invalid(err.Error(), "", &token.Position{Line: 1, Column: 1})
		}
	}
}

// refused finds the parts of YAML that a pattern does without: those that
// repeat text (the way to an alias bomb), those that change what a text means,
// and nesting that would send the parser down without end.
func refused(tokens token.Tokens) []Problem {
	var r refusal
	for i, tk := range tokens {
		if tk.Type != token.CommentType && !r.take(tk, tokens, i) {
			break
		}
	}
	return r.problems
}

// refusal goes through the tokens of a file.
type refusal struct {
	problems       []Problem
	content, ended bool // of the first document
	brackets, keys int
	columns        []int           // of the blocks that the token is in
	before         [2]*token.Token // the last two, without comments
}

func (r *refusal) refuse(tk *token.Token, message, hint string) {
	at := place(tk)
	r.problems = append(r.problems, Problem{Line: at.line, Column: at.column, Message: message, Hint: hint})
}

// stop refuses a token behind which nothing needs looking at.
func (r *refusal) stop(tk *token.Token, message, hint string) bool {
	r.refuse(tk, message, hint)
	return false
}

// take looks at token i and reports whether to go on.
func (r *refusal) take(tk *token.Token, tokens token.Tokens, i int) bool {
	switch {
	case tk.Type == token.DocumentHeaderType && (r.content || r.ended):
		return r.stop(tk, "a second document begins here", "keep one pattern in a file and take the --- out")
	case tk.Type == token.DocumentHeaderType:
		r.content = true
		return true
	case tk.Type == token.DocumentEndType:
		r.ended = true
		return true
	case r.ended:
		return r.stop(tk, "text after ..., which ends the pattern", "take the ... out")
	}
	r.content = true
	if message, hint := withoutWhich(tk); message != "" {
		r.refuse(tk, message+", which patterns do without", hint)
	}
	return r.structure(tk, tokens, i) && r.layout(tk, tokens[i:])
}

// structure counts brackets and keys.
func (r *refusal) structure(tk *token.Token, tokens token.Tokens, i int) bool {
	switch tk.Type {
	case token.DirectiveType:
		return false // what follows on its line is no content
	case token.MappingStartType, token.SequenceStartType:
		if r.brackets++; r.brackets > maxDepth {
			return r.stop(tk, tooDeep, tooDeepHint)
		}
	case token.MappingEndType, token.SequenceEndType:
		r.brackets = max(r.brackets-1, 0)
	case token.MappingValueType:
		if r.brackets > 0 && i+1 < len(tokens) && touches(tk, tokens[i+1]) && !(i > 0 && isQuoted(tokens[i-1])) {
			// YAML takes cut:3 as a key without a value, the library not.
			r.refuse(tk, "there is no space after the colon", "write `key: value`")
		}
		if r.keys++; r.keys > maxKeys {
			return r.stop(tk, fmt.Sprintf("up to here there are more than %d keys", maxKeys), "a pattern has a few hundred: is this the right file?")
		}
	}
	return true
}

// layout looks at how the lines are set in; rest begins with tk.
func (r *refusal) layout(tk *token.Token, rest token.Tokens) bool {
	isEntry := tk.Type == token.SequenceEntryType
	if isEntry && isEmptyEntry(rest) {
		// The library takes the keys that follow into the entry.
		r.refuse(tk, "nothing follows this -", "write the entry behind it, or take the line out")
	}
	isKey := len(rest) > 1 && rest[1].Type == token.MappingValueType
	if r.brackets == 0 && !isKey && isFartherOut(r.before, tk) {
		r.refuse(tk, "this line is neither a key nor set in under the key above it", "write `key: value`, or put it on the line of its key")
	}
	r.before = [2]*token.Token{r.before[1], tk}
	if r.brackets > 0 || !isKey && !isEntry {
		return true
	}
	column := place(tk).column
	for len(r.columns) > 0 && r.columns[len(r.columns)-1] >= column {
		r.columns = r.columns[:len(r.columns)-1]
	}
	if r.columns = append(r.columns, column); len(r.columns) > maxDepth {
		return r.stop(tk, tooDeep, tooDeepHint)
	}
	return true
}

// withoutWhich says what a token begins that no pattern needs, or "".
func withoutWhich(tk *token.Token) (message, hint string) {
	const (
		quote  = "if it is part of a text, put the whole text in quotation marks"
		inFull = "write the value out in each place"
	)
	switch tk.Type {
	case token.AliasType:
		return "* at the beginning of a value is an alias", inFull + "; " + quote
	case token.AnchorType:
		return "& at the beginning of a value is an anchor", inFull + "; " + quote
	case token.TagType:
		return "! at the beginning of a value is a tag", "leave it out; " + quote
	case token.MergeKeyType:
		return "<< merges keys", inFull
	case token.DirectiveType:
		return "% at the beginning is a directive", "leave it out; " + quote
	case token.LiteralType, token.FoldedType:
		return fmt.Sprintf("%s begins a block of text", tk.Value[:1]), "write the value on one line; " + quote
	case token.MappingKeyType:
		return "? begins a long key", "write `key: value`; " + quote
	}
	return "", ""
}

func place(tk *token.Token) position {
	if tk == nil || tk.Position == nil {
		return position{1, 1}
	}
	return position{max(tk.Position.Line, 1), max(tk.Position.Column, 1)}
}

// touches reports whether a value begins right behind tk, one character long.
func touches(tk, next *token.Token) bool {
	switch next.Type {
	case token.CollectEntryType, token.MappingEndType, token.SequenceEndType:
		return false
	}
	a, b := place(tk), place(next)
	return a.line == b.line && a.column+1 == b.column
}

// isEmptyEntry reports whether the dash of a list that tokens begins with has
// nothing behind it: neither on its line nor farther in on those below.
func isEmptyEntry(tokens token.Tokens) bool {
	dash := place(tokens[0])
	for _, tk := range tokens[1:] {
		if tk.Type != token.CommentType {
			next := place(tk)
			return next.line > dash.line && next.column <= dash.column
		}
	}
	return true
}

// isFartherOut reports whether tk is a value on a line below its key that does
// not stand farther in than the key. The library takes it as the value all the
// same, which would make a name of a line that lacks its colon.
func isFartherOut(before [2]*token.Token, tk *token.Token) bool {
	if before[0] == nil || before[1].Type != token.MappingValueType || tk.Type == token.SequenceEntryType {
		return false
	}
	key, colon, value := place(before[0]), place(before[1]), place(tk)
	return key.line == colon.line && value.line > key.line && value.column <= key.column
}

func isQuoted(tk *token.Token) bool {
	return tk.Type == token.SingleQuoteType || tk.Type == token.DoubleQuoteType
}

// isGluedComment reports whether a comment such as #3 follows on the line, by
// which more likely text is meant.
func isGluedComment(tk *token.Token) bool {
	next := tk.Next
	return next != nil && next.Type == token.CommentType && place(next).line == place(tk).line &&
		next.Value != "" && !strings.HasPrefix(next.Value, " ") && !strings.HasPrefix(next.Value, "#")
}
