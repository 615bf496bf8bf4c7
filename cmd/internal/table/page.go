// SPDX-License-Identifier: Apache-2.0

package table

import (
	"embed"
	"io/fs"
	"path"
)

// The page: plain HTML, style sheet and modules, as they are served.
//
//go:embed page
var pageFiles embed.FS

// kinds are the types of its files.
var kinds = map[string]string{
	".html": "text/html; charset=utf-8",
	".css":  "text/css; charset=utf-8",
	".js":   "text/javascript; charset=utf-8",
	".svg":  "image/svg+xml",
}

// pageFile returns a file of the page by the name under which it is asked
// for; "" is the page under the projector.
func pageFile(name string) (data []byte, kind string, ok bool) {
	switch name {
	case "":
		name = "index.html"
	case "hand":
		name = "hand.html"
	}
	if path.Base(name) != name || kinds[path.Ext(name)] == "" {
		return nil, "", false
	}
	data, err := fs.ReadFile(pageFiles, "page/"+name)
	return data, kinds[path.Ext(name)], err == nil
}
