// SPDX-License-Identifier: Apache-2.0

package pattern

import (
	"errors"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"lozenge/cmd/internal/problem"
)

// ErrByHand says that a text can't be changed here without changing more than was
// asked for.
var ErrByHand = errors.New("it is written in a way that only a text editor can change here")

// Entry is a key and its value, to be written in braces.
type Entry struct{ Key, Value string }

// Set returns the text of a pattern with another value at a place, such as columns,
// strips[0].cut or fabrics.tide.colors[1]. Everything else stays as it stands,
// comments too. Where the key is not there it is added in the order of the starter,
// in place of the starter's line for it if that is still there. An empty value takes
// the key away, as [Remove] does.
//
// The error is that of [Parse] where the text is no YAML, or [ErrByHand].
func Set(text, path, value string) (string, error) {
	if value == "" {
		return Remove(text, path)
	}
	return change(text, map[string]string{path: value}, nil, func(e *edit) {
		keys := steps(path)
		if s, rest := e.deepest(keys); len(rest) == 0 {
			e.setValue(s, value)
		} else {
			e.insert(s, keys[:len(keys)-len(rest)], rest, value)
		}
	})
}

// Add returns the text with a further entry at the end of a list, such as strips,
// borders or fabrics.tide.colors: a group of entries, or one value whose key is empty.
func Add(text, path string, item ...Entry) (string, error) {
	wanted := map[string]string{}
	return change(text, wanted, nil, func(e *edit) {
		keys := steps(path)
		s, rest := e.deepest(keys)
		at := path + "[0]"
		switch {
		case len(rest) > 0:
			e.insert(s, keys[:len(keys)-len(rest)], rest, "["+flow(item)+"]")
		case s.kind == scalar: // the one colour of a fabric
			e.put(s.from, s.to, "["+e.text[s.from:s.to]+", "+flow(item)+"]")
			wanted[path+"[0]"], at = s.text, path+"[1]"
			e.gone = append(e.gone, path)
		case s.kind != list:
			e.failed = true
		default:
			e.append(s, flow(item))
			at = fmt.Sprintf("%s[%d]", path, len(s.items))
		}
		for _, one := range item {
			wanted[join(at, one.Key)] = one.Value
			if one.Key == "" {
				wanted[at] = one.Value
				delete(wanted, join(at, ""))
			}
		}
	})
}

// Put returns the text with a group of entries in place of a single value, as of a
// colour that is given a name.
func Put(text, path string, item ...Entry) (string, error) {
	wanted := map[string]string{}
	for _, one := range item {
		wanted[join(path, one.Key)] = one.Value
	}
	return change(text, wanted, []string{path + "!"}, func(e *edit) {
		s, rest := e.deepest(steps(path))
		if len(rest) > 0 || s.kind != scalar {
			e.failed = true
			return
		}
		e.put(s.from, s.to, flow(item))
	})
}

// Remove returns the text without what stands at a place, with the comment on its
// line. A group or list that is left empty goes as well. What is not there is no
// error.
func Remove(text, path string) (string, error) {
	return change(text, nil, []string{path}, func(e *edit) {
		keys := steps(path)
		if _, rest := e.deepest(keys); len(rest) > 0 {
			return
		}
		for len(keys) > 1 {
			around, _ := e.deepest(keys[:len(keys)-1])
			if len(around.entries)+len(around.items) > 1 {
				break
			}
			keys = keys[:len(keys)-1]
			if len(keys) == 2 && keys[0] == "fabrics" { // a fabric stays, whatever is said of it
				s, _ := e.deepest(keys)
				e.put(s.from, s.to, "{}")
				return
			}
		}
		around, _ := e.deepest(keys[:len(keys)-1])
		e.drop(around, keys[len(keys)-1])
	})
}

// edit is a change under way.
type edit struct {
	text   string // lines end in line feeds
	root   *spot
	gone   []string
	from   int // what is changed: text[from:to] becomes with
	to     int
	with   string
	done   bool
	failed bool
}

// change makes a change and sees to it that it changed what was wanted and nothing
// else.
func change(src string, wanted map[string]string, gone []string, do func(*edit)) (string, error) {
	text, bad := clean([]byte(src))
	if bad != nil {
		return "", Problems{*bad}
	}
	root, problems := parseYAML(text)
	if len(problems) > 0 {
		return "", Problems(problems)
	}
	e := &edit{text: problem.Lines(src), gone: gone}
	if root == nil {
		root = &node{kind: group, at: position{1, 1}}
	}
	var ok bool
	if e.root, ok = survey(e.text, root); !ok || root.kind != group {
		return "", ErrByHand
	}
	do(e)
	if e.failed {
		return "", ErrByHand
	}
	if !e.done {
		return src, nil
	}
	out := e.text[:e.from] + e.with + e.text[e.to:]
	if !e.isOnly(root, out, wanted) {
		return "", ErrByHand
	}
	return e.into(src), nil
}

// isOnly reports whether nothing but what is wanted differs.
func (e *edit) isOnly(root *node, out string, wanted map[string]string) bool {
	text, bad := clean([]byte(out))
	if bad != nil {
		return false
	}
	now, problems := parseYAML(text)
	if len(problems) > 0 {
		return false
	}
	want, got := map[string]string{}, map[string]string{}
	flatten(root, "", want)
	if now != nil {
		flatten(now, "", got)
	}
	for _, path := range e.gone {
		e.forget(want, path)
	}
	maps.Copy(want, wanted)
	return maps.Equal(want, got)
}

// forget takes what stands at a place out of the values of a text, and moves what
// follows in a list up.
func (e *edit) forget(values map[string]string, path string) {
	if only, ok := strings.CutSuffix(path, "!"); ok { // what comes in its place is wanted
		delete(values, only)
		return
	}
	open := strings.LastIndexByte(path, '[')
	number := -1
	if open > 0 && strings.HasSuffix(path, "]") {
		number, _ = strconv.Atoi(path[open+1 : len(path)-1])
	}
	moved := map[string]string{}
	for at, v := range values {
		switch {
		case at == path || strings.HasPrefix(at, path+".") || strings.HasPrefix(at, path+"["):
			delete(values, at)
		case number >= 0 && strings.HasPrefix(at, path[:open+1]):
			digits, rest, _ := strings.Cut(at[open+1:], "]")
			if i, err := strconv.Atoi(digits); err == nil && i > number {
				delete(values, at)
				moved[fmt.Sprintf("%s[%d]%s", path[:open], i-1, rest)] = v
			}
		}
	}
	maps.Copy(values, moved)
}

// flatten notes every text below a node by its place.
func flatten(n *node, path string, out map[string]string) {
	switch n.kind {
	case scalar:
		out[path] = n.text
	case group:
		for _, e := range n.entries {
			flatten(e.value, join(path, e.key.text), out)
		}
	case list:
		for i, item := range n.items {
			flatten(item, fmt.Sprintf("%s[%d]", path, i), out)
		}
	}
}

// into makes the change in the text as it was, whose lines may end otherwise.
func (e *edit) into(src string) string {
	end := "\n"
	if i := strings.IndexAny(src, "\r\n"); i >= 0 && src[i] == '\r' {
		end = "\r"
		if strings.HasPrefix(src[i:], "\r\n") {
			end = "\r\n"
		}
	}
	// at tells where a place in text is in src.
	at := func(want int) int {
		i := len(src) - len(strings.TrimPrefix(src, "\ufeff"))
		for n := 0; n < want && i < len(src); n++ {
			if strings.HasPrefix(src[i:], "\r\n") {
				i++
			}
			i++
		}
		return i
	}
	return src[:at(e.from)] + strings.ReplaceAll(e.with, "\n", end) + src[at(e.to):]
}

func (e *edit) put(from, to int, with string) {
	e.from, e.to, e.with, e.done = from, to, with, true
}

// steps splits a place into keys and numbers in brackets.
func steps(path string) (out []string) {
	for _, key := range strings.Split(path, ".") {
		for {
			open := strings.LastIndexByte(key, '[')
			if open <= 0 {
				break
			}
			// Numbers of lists in lists would come in reverse; there are none.
			out, key = append(out, key[:open]), key[open:]
			break
		}
		out = append(out, key)
	}
	return out
}

// deepest follows keys as far as they lead, and returns those that are left.
func (e *edit) deepest(keys []string) (*spot, []string) {
	s := e.root
	for i, key := range keys {
		next := s.step(key)
		if next == nil {
			return s, keys[i:]
		}
		s = next
	}
	return s, nil
}

func (s *spot) step(key string) *spot {
	if i, ok := number(key); ok {
		if i < len(s.items) {
			return s.items[i]
		}
		return nil
	}
	for _, e := range s.entries {
		if e.name == key {
			return e.value
		}
	}
	return nil
}

// number reads a number in brackets.
func number(key string) (int, bool) {
	if !strings.HasPrefix(key, "[") {
		return 0, false
	}
	i, err := strconv.Atoi(strings.Trim(key, "[]"))
	return i, err == nil && i >= 0
}

// setValue writes another value in place of one.
func (e *edit) setValue(s *spot, value string) {
	switch {
	case s.kind == nothing:
		e.put(s.from, s.to, " "+quoted(value, false))
	case s.kind != scalar:
		e.failed = true
	case s.text != value:
		e.put(s.from, s.to, quoted(value, s.quoted))
	}
}

// insert writes a key that is not there into a group that is, with the groups
// between them in braces.
func (e *edit) insert(s *spot, path, rest []string, value string) {
	if s.kind != group && s.kind != nothing || strings.HasPrefix(rest[0], "[") {
		e.failed = true
		return
	}
	if !strings.HasPrefix(value, "[") {
		value = quoted(value, false)
	}
	for _, key := range slices.Backward(rest[1:]) {
		if strings.HasPrefix(key, "[") {
			e.failed = true
			return
		}
		value = "{" + key + ": " + value + "}"
	}
	line := quotedKey(rest[0]) + ": " + value
	switch {
	case s.kind == nothing:
		e.put(s.from, s.to, " {"+line+"}")
	case s.inline && len(s.entries) == 0:
		e.put(s.from, s.to, "{"+line+"}")
	case s.inline:
		at := s.entries[len(s.entries)-1].value.to
		e.put(at, at, ", "+line)
	case len(path) == 0 && e.uncomment(rest[0], line):
	case len(s.entries) == 0: // an empty pattern
		e.put(len(e.text), len(e.text), e.brk(len(e.text))+line+"\n")
	default:
		e.insertLine(s, path, rest[0], line)
	}
}

// insertLine writes a line into a block, behind the last key that comes before it
// in the order of its part.
func (e *edit) insertLine(s *spot, path []string, key, line string) {
	after := len(s.entries) - 1
	if len(path) == 0 {
		order := func(key string) int { return slices.Index(wholePart.keys, key) }
		for i, one := range slices.Backward(s.entries) {
			if after = i; order(one.name) < order(key) {
				break
			}
		}
	}
	indent := strings.Repeat(" ", e.column(s.entries[0].from))
	at := e.lineEnd(s.entries[after].value.to)
	e.put(at, at, e.brk(at)+indent+line+"\n")
}

// append writes a further item into a list.
func (e *edit) append(s *spot, item string) {
	switch n := len(s.items); {
	case s.inline && n == 0:
		e.put(s.from, s.to, "["+item+"]")
	case s.inline:
		at := s.items[n-1].to
		e.put(at, at, ", "+item)
	default:
		at := e.lineEnd(s.items[n-1].to)
		indent := strings.Repeat(" ", e.column(s.from))
		e.put(at, at, e.brk(at)+indent+"- "+item+"\n")
	}
}

// uncomment puts a line of the starter to use that shows the key.
func (e *edit) uncomment(key, line string) bool {
	at := regexp.MustCompile(`(?m)^#` + regexp.QuoteMeta(key) + `:( .*)?$`).FindStringIndex(e.text)
	if at == nil {
		return false
	}
	e.put(at[0], at[1], line)
	return true
}

// drop takes an entry or an item away.
func (e *edit) drop(s *spot, key string) {
	type span struct{ from, to int }
	var all []span
	i, ok := number(key)
	for j, one := range s.entries {
		all = append(all, span{one.from, one.value.to})
		if !ok && one.name == key {
			i = j
		}
	}
	for _, one := range s.items {
		all = append(all, span{one.from, one.to})
	}
	one := all[i]
	switch {
	case s.inline && len(all) == 1:
		e.put(one.from, one.to, "")
	case s.inline && i == 0:
		e.put(one.from, all[1].from, "")
	case s.inline:
		e.put(all[i-1].to, one.to, "")
	default:
		// Whole lines, from the dash on; the first key of an item shares its line with
		// the dash.
		from := e.lineStart(one.from)
		if blank := strings.TrimLeft(e.text[from:one.from], " "); len(s.entries) > 0 && blank != "" {
			if len(all) == 1 || i != 0 {
				e.failed = true
				return
			}
			e.put(one.from, all[1].from, "")
			return
		}
		e.put(from, e.lineEnd(one.to), "")
	}
}

func (e *edit) lineStart(at int) int { return strings.LastIndexByte(e.text[:at], '\n') + 1 }

// lineEnd returns where the line ends, with its line feed.
func (e *edit) lineEnd(at int) int {
	if i := strings.IndexByte(e.text[at:], '\n'); i >= 0 {
		return at + i + 1
	}
	return len(e.text)
}

// brk is the line feed that is wanting where a line is to begin.
func (e *edit) brk(at int) string {
	if at > 0 && e.text[at-1] != '\n' {
		return "\n"
	}
	return ""
}

// column counts the characters before a place on its line.
func (e *edit) column(at int) int { return len([]rune(e.text[e.lineStart(at):at])) }

// flow writes entries in braces, or the one value without a key.
func flow(item []Entry) string {
	if len(item) == 1 && item[0].Key == "" {
		return quoted(item[0].Value, false)
	}
	var parts []string
	for _, one := range item {
		parts = append(parts, quotedKey(one.Key)+": "+quoted(one.Value, false))
	}
	return "{" + strings.Join(parts, ", ") + "}"
}

// plainText is what needs no quotation marks anywhere.
var plainText = regexp.MustCompile(`^[\pL\pN]([\pL\pN ./_-]*[\pL\pN./_-])?$`)

// quoted returns a value as YAML writes it.
func quoted(value string, always bool) string {
	if !always && plainText.MatchString(value) {
		return value
	}
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(value) + `"`
}

func quotedKey(key string) string { return quoted(key, false) }
