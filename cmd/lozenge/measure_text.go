// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"fmt"
	"strings"

	"lozenge/cmd/internal/problem"
	"lozenge/export/measure"
	"lozenge/export/words"
)

// measureText is what measure prints: the answer first.
func measureText(reports []fileReport) []byte {
	var b bytes.Buffer
	for i, r := range reports {
		if i > 0 {
			b.WriteByte('\n')
		}
		measureOne(&b, r)
	}
	return b.Bytes()
}

// mostPieces is how many outlines are listed.
const mostPieces = 60

// exactly is what counts as exact in print, in inches.
const exactly = 0.0005

var verdictWords = map[measure.Verdict]string{
	measure.True:     "true to size",
	measure.NotTrue:  "NOT true to size",
	measure.Unproven: "not proven",
	measure.PageOnly: "page measured only",
}

func measureOne(b *bytes.Buffer, r fileReport) {
	u := r.Unit
	fmt.Fprintf(b, "%s: %s\n", problem.Printable(r.file), verdictWords[r.Verdict])
	line := func(label, format string, a ...any) {
		fmt.Fprintf(b, "  %-20s %s\n", label, fmt.Sprintf(format, a...))
	}
	if r.Width > 0 && r.Height > 0 {
		what := "page"
		if r.Format == measure.DXF {
			what = "drawing"
		}
		line(what, "%s wide, %s high", u.Format(r.Width), u.Format(r.Height))
	}
	if q := r.Square; q != nil {
		line("calibration square", "%s wide, %s high, diagonals %s and %s", u.Format(q.Width), u.Format(q.Height), u.Format(q.Diagonals[0]), u.Format(q.Diagonals[1]))
		if u != measure.NoUnit {
			line("", "should be %s, within %s; found by its %s", u.Format(q.Nominal), u.Format(measure.Tolerance(q.Nominal)), q.FoundBy)
		}
	}
	if r.Verdict != measure.PageOnly {
		line("outlines", "%d closed, %d cut lines open", r.Closed, r.Open)
		line("cut lines", "%s", overlapWords(r.Overlaps, r.PartlyCompared))
	}
	shown := r.Pieces[:min(len(r.Pieces), mostPieces)]
	for i := range shown {
		label := ""
		if i == 0 {
			label = "pieces"
		}
		line(label, "%s", pieceWords(&shown[i], u))
	}
	if more := len(r.Pieces) - len(shown); more > 0 {
		line("", "and %d more; --json lists all", more)
	}
	for i, reason := range r.Reasons {
		label := ""
		if i == 0 {
			label = "reasons"
		}
		line(label, "%s", reason)
	}
}

func overlapWords(n int, partly bool) string {
	switch {
	case partly && n == 0:
		return "not all were compared with each other; none was found that lies on another"
	case n == 0:
		return "none lies on another"
	}
	lie := fmt.Sprintf("%s %s on each other: a blade would cut there twice", words.Count(n, "pair"), words.Verb(n, "lies", "lie"))
	if partly {
		return "at least " + lie
	}
	return lie
}

func pieceWords(p *measure.MatchedPiece, u measure.Unit) string {
	if p.Name == "" {
		return fmt.Sprintf("%d: no piece of this pattern", p.Outline)
	}
	s := fmt.Sprintf("%d: %s", p.Outline, p.Name)
	if p.Mirrored {
		s += ", MIRRORED"
	}
	if p.Worst() <= exactly {
		s += "; every vertex within " + u.Format(exactly)
	} else {
		var offs []string
		for _, off := range p.Off {
			offs = append(offs, strings.TrimSuffix(u.Format(off), " "+string(u)))
		}
		s += fmt.Sprintf("; vertices off by %s %s", strings.Join(offs, ", "), u)
	}
	if p.Bent > exactly {
		s += "; a side bends by " + u.Format(p.Bent)
	}
	if turn := strings.TrimSuffix(fmt.Sprintf("%.1f", p.Turned), ".0"); turn != "0" && turn != "-0" {
		s += "; turned by " + turn + "°"
	}
	return s
}
