// SPDX-License-Identifier: Apache-2.0

package pattern

import (
	"fmt"
	"regexp"
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml/token"
)

// syntaxProblem says in plain words where text is not YAML. What trips a
// quilter is often not where the YAML library stumbles: an inch mark in
// double quotes opens a text that runs on to the next quote lines below.
// Known slips up to there are looked for first.
func syntaxProblem(text, message string, tk *token.Token) Problem {
	at := place(tk)
	if p, ok := knownSlip(text, at); ok {
		return p
	}
	p := Problem{Line: at.line, Column: at.column}
	p.Message, p.Hint = plainSyntax(message)
	if tk == nil {
		return p
	}
	lines := strings.Split(text, "\n")
	if last := []rune(lines[min(at.line, len(lines))-1]); at.column <= len(last) && lastComma.MatchString(string(last[at.column-1:])) {
		p.Message, p.Hint = "the line ends with a comma", "take it out: "+afterAll
		return p
	}
	// A line that is indented by mistake goes on with the value above it, and
	// then its colon is one too many. The place is that line.
	if n := strings.Count(strings.TrimLeft(tk.Origin, " \n"), "\n"); n > 0 && strings.Contains(message, colonTooMany) {
		p.Line = min(at.line+n, len(lines))
		last := lines[p.Line-1]
		p.Column = len(last) - len(strings.TrimLeft(last, " ")) + 1
		p.Message, p.Hint = "this line goes on with the value above it", "begin it under the first letter of the key above, and write `key: value`"
	}
	return p
}

// lastComma matches a comma behind which its line has nothing but a comment.
var lastComma = regexp.MustCompile(`^, *(#.*)?$`)

const afterAll = "commas stand between what [ ] or { } hold, and not where a line is done"

// otherDash matches a list mark that is not the hyphen of YAML: what word
// processors make of it, or take for it.
var otherDash = regexp.MustCompile(`^( *)([\x{2010}-\x{2015}\x{2212}\x{2022}\x{25aa}\x{25cf}\x{b7}*+]) `)

var comment = regexp.MustCompile(`(^| )#.*$`)

var markNames = map[string]string{"–": "an en dash", "—": "an em dash", "−": "a minus sign", "•": "a bullet", "*": "an asterisk", "+": "a plus sign"}

// otherDashes finds the list marks that are not hyphens: where an entry of a
// list stands, below a key without a value or an entry. YAML would take the
// line for text.
func otherDashes(text string) (ps []Problem) {
	inList := false
	line := 0
	for body := range strings.SplitSeq(text, "\n") {
		line++
		body = strings.TrimRight(comment.ReplaceAllString(body, ""), " ")
		if body == "" {
			continue
		}
		m := otherDash.FindStringSubmatch(body + " ")
		if m != nil && inList {
			name := markNames[m[2]]
			if name == "" {
				name = "a dash of another kind"
			}
			ps = append(ps, Problem{Line: line, Column: len(m[1]) + 1,
				Message: fmt.Sprintf("%s (%U) stands where the list wants a hyphen", name, []rune(m[2])[0]),
				Hint:    "type a plain hyphen and a space: `- `"})
		}
		inList = strings.HasSuffix(body, ":") || strings.HasPrefix(strings.TrimLeft(body, " "), "- ") || m != nil && inList
	}
	return ps
}

// slip is a way of writing that is not YAML, or other YAML than is meant.
type slip struct {
	what    *regexp.Regexp // its last group is the place
	message string
	hint    func(found string) string
}

var slips = []slip{
	{regexp.MustCompile(`(?:^|[\[{,:-] *)("[^"]*[0-9¼-¾⅐-⅞] *"")`),
		"the inch mark ends the quoted text",
		func(s string) string { return "put it in single quotes: '" + strings.Trim(s, `"`) + `"'` }},
	{regexp.MustCompile(`(?:^|[\[{,:-] *)('[^']*[0-9¼-¾⅐-⅞] *'')(?:[^']|$)`),
		"the foot mark in single quotes does not end the quoted text",
		func(s string) string { return `put it in double quotes: "` + strings.Trim(s, "'") + `'"` }},
	{regexp.MustCompile(`[\[,:] *(#[0-9A-Fa-f]{3,8}\b)`),
		"an unquoted # begins a comment",
		func(s string) string { return `put the colour in quotation marks: "` + s + `"` }},
	{regexp.MustCompile(`^[ -]*([a-z_]+:)[^ ]`),
		"there is no space after the colon",
		func(s string) string { return "write `" + s + " ` with a space before the value" }},
	{regexp.MustCompile(`^[ -]*([a-z_]+ *[=：])`),
		"there is no colon after the key",
		func(s string) string { return "write `" + keyIn(s) + ": ` with a plain colon" }},
	{regexp.MustCompile(`^ *(-)[\[{(]`),
		"there is no space after the -",
		func(string) string { return "write `- ` with a space before the entry" }},
	{regexp.MustCompile(`^ *- (\()`),
		"a ( stands where a group begins",
		func(string) string { return "put the keys of a group in braces: `{ }`" }},
}

// knownSlip finds the first slip in the lines up to the one where the YAML
// library stumbled; comments don't count.
func knownSlip(text string, at position) (Problem, bool) {
	line := 0
	for body := range strings.SplitSeq(text, "\n") {
		if line++; line > at.line {
			break
		}
		if strings.HasPrefix(strings.TrimLeft(body, " "), "#") {
			continue
		}
		for _, s := range slips {
			m := s.what.FindStringSubmatchIndex(body)
			if m == nil {
				continue
			}
			found := body[m[2]:m[3]]
			if key := keyIn(found); key != "" && !isKey(key) {
				continue
			}
			return Problem{Line: line, Column: utf8.RuneCountInString(body[:m[2]]) + 1,
				Message: s.message, Hint: s.hint(found)}, true
		}
	}
	return Problem{}, false
}

// keyIn returns the letters that a text begins with.
func keyIn(found string) string {
	return found[:len(found)-len(strings.TrimLeft(found, "abcdefghijklmnopqrstuvwxyz_"))]
}

// isKey reports whether some part of a pattern has the key.
func isKey(key string) bool {
	for _, part := range parts {
		if part.has(key) {
			return true
		}
	}
	return false
}

const colonTooMany = "mapping value is not allowed"

const layoutHint = "check the spaces in front of the line and that each line is `key: value` or begins with `- `"

// plainSyntax puts a message of the YAML library into plain words.
func plainSyntax(message string) (plain, hint string) {
	has := func(s string) bool { return strings.Contains(message, s) }
	switch {
	case has("end character of double-quoted"):
		return `the quoted text that begins here has no closing "`, `close it; a text with an inch mark goes in single quotes: '2 1/2"'`
	case has("end character of single-quoted"):
		return "the quoted text that begins here has no closing '", `close it; a text with an apostrophe or a foot mark goes in double quotes: "6'"`
	case has(colonTooMany):
		return "a second colon before the first value has ended", "put a text that has a colon in quotation marks, and begin each key on a line of its own"
	case has("sequence end token"):
		return "the list that begins here has no closing ]", `close it; colours go in quotation marks, since an unquoted # begins a comment`
	case has("flow mapping end token"):
		return "the group that begins here has no closing }", "close it"
	case has("',' or ']'"):
		return "a comma or ] is missing before this", "put a comma between the entries of a list"
	case has("',' or '}'"), has("flow map content"):
		return "a comma or } is missing before this", "put a comma between the keys of a group"
	case has("corresponding to"):
		return "a closing bracket without an opening one", "take it out, or put the opening one in"
	case has("found ','"):
		return "a comma with nothing in front of it", "take it out"
	case has("block sequence entries"):
		return "a list can't begin on the line of its key", "begin the list on the next line, with `- ` in front of each entry"
	case has("reserved character"):
		return "a value can't begin with " + message[:strings.Index(message, " is")], "put the text in quotation marks"
	case has("header option"), has("multi-line content"):
		return "a value can't begin with | or >", "put the text in quotation marks, on one line"
	case has("tag character"):
		return "a value can't begin with !", "put the text in quotation marks"
	case has("unknown escape"):
		return `a \ in double quotes begins a code that is not known`, "put the text in single quotes, or write / instead"
	case has("invalid key"), has("unexpected key name"), has("implicit line break"), has("map key"):
		return "there is no key before the colon, or the key runs over two lines", layoutHint
	case has("tab"), has("'\\t'"):
		return "a tab stands where spaces are needed", "use spaces instead, two for each step"
	}
	// Among others, what the library does not allow in its context, and what it
	// has no better words for than its own types.
	return "this does not belong here", layoutHint
}
