// SPDX-License-Identifier: Apache-2.0

package web

import (
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"strconv"
)

// Body returns what was posted: at most so many bytes of that type. ok is false
// when the request was answered with what is wrong with it.
func Body(w http.ResponseWriter, r *http.Request, kind string, most int64) (data []byte, ok bool) {
	if r.Method != http.MethodPost {
		w.Header().Set("Allow", "POST")
		http.Error(w, "send an action", http.StatusMethodNotAllowed)
		return nil, false
	}
	// A form on a page of somebody else's can't send this type.
	if r.Header.Get("Content-Type") != kind {
		http.Error(w, "send "+kind, http.StatusUnsupportedMediaType)
		return nil, false
	}
	data, err := io.ReadAll(http.MaxBytesReader(w, r.Body, most))
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large):
		http.Error(w, "too large", http.StatusRequestEntityTooLarge)
		return nil, false
	case err != nil:
		http.Error(w, "it ended too early", http.StatusBadRequest)
		return nil, false
	}
	return data, true
}

// JSONType is the type of what pages send and are sent.
const JSONType = "application/json"

// JSON answers with a value.
func JSON(w http.ResponseWriter, v any) {
	data, err := json.Marshal(v)
	if err != nil { // a number that is none
		http.Error(w, "this can't be shown", http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", JSONType)
	w.Header().Set("Content-Length", strconv.Itoa(len(data))) // in one piece, however long
	w.Write(data)
}
