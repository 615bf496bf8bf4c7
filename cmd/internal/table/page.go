// SPDX-License-Identifier: Apache-2.0

package table

import (
	"embed"
	"io/fs"

	"lozenge/cmd/internal/web"
)

//go:embed page
var pageFolder embed.FS

// files are those of the page under the projector and of the hand page.
var files = web.Files{FS: must(fs.Sub(pageFolder, "page")), Pages: map[string]string{"": "index.html", "hand": "hand.html"}}

func must(f fs.FS, err error) fs.FS {
	if err != nil {
		panic(err)
	}
	return f
}
