// SPDX-License-Identifier: Apache-2.0

package problem

import "strings"

// Foreign says what a file is that begins like no plain text that a person
// writes, with its article, or "". Sources: Rich Text Format 1.9.1, "{\rtf";
// ZIP, APPNOTE.TXT 4.3.7; compound files, MS-CFB 2.2; PDF, ISO 32000 7.5.2;
// PNG, ISO 15948 5.2; JPEG, ITU-T T.81 B.1.1.3.
func Foreign(data []byte) string {
	const page = "a web page or drawing (HTML, XML or SVG)"
	text := strings.TrimLeft(strings.TrimPrefix(string(data[:min(len(data), 64)]), "\ufeff"), " \t\r\n")
	for _, f := range [...]struct{ begins, what string }{
		{`{\rtf`, "a word processor's file (RTF)"},
		{"PK\x03\x04", "a spreadsheet's or word processor's own file"},
		{"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "a spreadsheet's or word processor's own file"},
		{"%PDF-", "a PDF"},
		{"\x89PNG", "a picture"},
		{"\xff\xd8\xff", "a picture"},
		{"<!", page}, {"<?", page}, {"<h", page}, {"<H", page}, {"<s", page},
	} {
		if strings.HasPrefix(text, f.begins) {
			return f.what
		}
	}
	return ""
}
