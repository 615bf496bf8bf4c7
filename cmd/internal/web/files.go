// SPDX-License-Identifier: Apache-2.0

package web

import (
	"io/fs"
	"net/http"
	"path"
)

// Files are the files of pages: plain HTML, style sheets and modules, as they are
// served, all in one folder.
type Files struct {
	FS    fs.FS
	Pages map[string]string // files of other names, by what is asked for; "" among them
}

// kinds are the types of the files.
var kinds = map[string]string{
	".html": "text/html; charset=utf-8",
	".css":  "text/css; charset=utf-8",
	".js":   "text/javascript; charset=utf-8",
	".svg":  "image/svg+xml",
}

// File returns a file by the name under which it is asked for.
func (f Files) File(name string) (data []byte, kind string, ok bool) {
	if page, ok := f.Pages[name]; ok {
		name = page
	}
	if path.Base(name) != name || kinds[path.Ext(name)] == "" {
		return nil, "", false
	}
	data, err := fs.ReadFile(f.FS, name)
	return data, kinds[path.Ext(name)], err == nil
}

// Answer answers a request for a file.
func (f Files) Answer(w http.ResponseWriter, r *http.Request, name string) {
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		w.Header().Set("Allow", "GET, HEAD")
		http.Error(w, "only to be read", http.StatusMethodNotAllowed)
		return
	}
	data, kind, ok := f.File(name)
	if !ok {
		http.Error(w, "nothing is here", http.StatusNotFound)
		return
	}
	w.Header().Set("Content-Type", kind)
	w.Write(data)
}
