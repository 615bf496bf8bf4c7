// SPDX-License-Identifier: Apache-2.0

package problem

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"
)

// Kept is a kind of JSON file that lozenge writes to read it again.
type Kept struct {
	Kind   string // its key "kind"
	Newest int    // of its key "version", that is known here
	Hint   string // what to do about one that can't be read
}

// ErrNewer says that a newer lozenge wrote a file.
var ErrNewer = errors.New("a newer lozenge wrote it")

// Read reads such a file into v: each key once, and none that v does not know.
// name is what messages call it. The error is a [List].
func (k Kept) Read(name string, data []byte, v any) error {
	var head struct {
		Kind    string `json:"kind"`
		Version int    `json:"version"`
	}
	if json.Unmarshal(data, &head) == nil && head.Kind == k.Kind && head.Version > k.Newest {
		told := List{{File: name, Message: fmt.Sprintf("%v: it is of version %d, and this one knows none after %d", ErrNewer, head.Version, k.Newest), Hint: "use that one"}}
		return errors.Join(told, ErrNewer)
	}
	err := json.Unmarshal(data, v, json.RejectUnknownMembers(true))
	if err == nil {
		return nil
	}
	line, column := place(data, err)
	return In(name, string(data), List{{Line: line, Column: column, Message: "is not a " + k.Kind + ": " + JSONReason(err), Hint: k.Hint}})
}

// JSONReason says what is wrong with a file for programs, in words of no library.
func JSONReason(err error) string {
	var syntax *jsontext.SyntacticError
	var value *json.SemanticError
	switch {
	case errors.Is(err, json.ErrUnknownName):
		errors.As(err, &value)
		return fmt.Sprintf("there is no key %q", value.JSONPointer.LastToken())
	case errors.Is(err, jsontext.ErrDuplicateName):
		errors.As(err, &syntax)
		return fmt.Sprintf("the key %q stands twice", syntax.JSONPointer.LastToken())
	case errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, io.EOF):
		return "it ends too early"
	case errors.As(err, &value):
		found := map[jsontext.Kind]string{'[': "a list", '{': "a group", '"': "a text", 't': "true or false", 'f': "true or false", '0': "a number", 'n': "nothing"}[value.JSONKind]
		return fmt.Sprintf("%s is %s that can't stand there", cmp.Or(value.JSONPointer.LastToken(), "the whole"), cmp.Or(found, "something"))
	}
	return "a mark in it does not belong there"
}

// place returns where in the text decoding failed.
func place(data []byte, err error) (line, column int) {
	var syntax *jsontext.SyntacticError
	var value *json.SemanticError
	at := int64(len(data))
	switch {
	case errors.Is(err, io.ErrUnexpectedEOF):
	case errors.As(err, &syntax):
		at = syntax.ByteOffset
	case errors.As(err, &value):
		at = value.ByteOffset
	}
	before := data[:min(int(at), len(data))]
	line = 1 + bytes.Count(before, []byte("\n"))
	column = 1 + len([]rune(string(before[bytes.LastIndexByte(before, '\n')+1:])))
	return line, column
}
