// SPDX-License-Identifier: Apache-2.0

package web

import (
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"time"
)

// How long a page may take to hear something, and how often it is told that
// the server is there.
const (
	hearTime = 10 * time.Second
	beat     = 15 * time.Second
)

// Events tells a page all that is done, as server-sent events (HTML standard, section
// 9.2): what now returns, whenever changed receives.
func (s *Server) Events(w http.ResponseWriter, r *http.Request, changed <-chan struct{}, now func() any) {
	line := http.NewResponseController(w)
	if line.SetReadDeadline(time.Time{}) != nil {
		return
	}
	w.Header().Set("Content-Type", "text/event-stream")
	alive := time.NewTicker(beat)
	defer alive.Stop()
	for {
		text := ":\n\n"
		select {
		case <-changed:
			data, err := json.Marshal(now())
			if err != nil {
				return
			}
			text = fmt.Sprintf("data: %s\n\n", data)
		case <-alive.C:
		case <-r.Context().Done():
			return
		case <-s.closing:
			return
		}
		if line.SetWriteDeadline(time.Now().Add(hearTime)) != nil {
			return
		}
		if _, err := io.WriteString(w, text); err != nil || line.Flush() != nil {
			return
		}
	}
}
