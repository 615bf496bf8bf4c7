// SPDX-License-Identifier: Apache-2.0

package pattern

import "github.com/goccy/go-yaml/ast"

// kind is what a node is.
type kind int

const (
	nothing kind = iota // a key without a value, or null
	scalar
	group // keys and values
	list
)

// instead says what stands in place of something else.
func (k kind) instead() string {
	return [...]string{"but nothing is given", "not a single value", "not a group of keys", "not a list"}[k]
}

// position is a place in the file, counted from 1.
type position struct{ line, column int }

// node is a value of the file with nothing decoded: a scalar is the text that
// stands there, whatever YAML would make of it.
type node struct {
	kind    kind
	at      position
	text    string  // of a scalar
	quoted  bool    // a scalar in quotation marks
	glued   bool    // a comment follows whose # touches its first word
	inline  bool    // a group or list in brackets
	entries []entry // of a group, in the order of the file
	items   []*node // of a list
}

type entry struct{ key, value *node }

// toNode copies what the YAML library parsed. Aliases, anchors, tags, merge
// keys and block texts are refused before and come out as nothing.
func toNode(n ast.Node) *node {
	if n == nil {
		return &node{}
	}
	out := &node{at: place(n.GetToken())}
	switch n := n.(type) {
	case *ast.MappingNode:
		out.kind, out.inline = group, n.IsFlowStyle
		for _, v := range n.Values {
			out.entries = append(out.entries, toEntry(v))
		}
		// The library gives the first colon; its key is where the eye looks.
		if !out.inline && len(out.entries) > 0 {
			out.at = out.entries[0].key.at
		}
	case *ast.MappingValueNode:
		e := toEntry(n)
		*out = node{kind: group, at: e.key.at, entries: []entry{e}}
	case *ast.SequenceNode:
		out.kind, out.inline = list, n.IsFlowStyle
		for _, v := range n.Values {
			out.items = append(out.items, toNode(v))
		}
	case *ast.NullNode:
	case *ast.StringNode, *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode, *ast.InfinityNode, *ast.NanNode:
		*out = *toScalar(n)
	}
	return out
}

func toEntry(n *ast.MappingValueNode) entry {
	e := entry{key: toScalar(n.Key), value: toNode(n.Value)}
	if e.value.kind == nothing {
		e.value.at = e.key.at
	}
	return e
}

// toScalar takes a key or a value by its text: null and true are names too.
func toScalar(n ast.Node) *node {
	tk := n.GetToken()
	out := &node{kind: scalar, at: place(tk)}
	if tk != nil {
		out.text = tk.Value
		out.quoted = isQuoted(tk)
		out.glued = isGluedComment(tk)
	}
	return out
}
