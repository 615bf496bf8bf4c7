// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"context"
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"image/png"
	"io"
	"io/fs"
	"maps"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
	"unicode"
	"unicode/utf8"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
	"pgregory.net/rapid"

	"lozenge/cmd/internal/pattern"
	"lozenge/cmd/internal/problem"
	"lozenge/export/outside"
	"lozenge/geometry"
	"lozenge/geometry/quilt"
)

// An attack is what a hostile person, a broken disk or a restless finger does to
// one run of the program.
type attack struct {
	files  map[string][]byte // in its folder
	args   []string
	signal syscall.Signal // sent after a while; 0 for none
	after  time.Duration
	any    bool // anything may be asked for: over its own files, of a full disk
}

func (a attack) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "lozenge %q", a.args)
	if a.signal != 0 {
		fmt.Fprintf(&b, ", %v after %v", a.signal, a.after)
	}
	for name, data := range a.files {
		if slices.ContainsFunc(a.args, func(arg string) bool { return strings.Contains(arg, name) || arg == "-" && name == "q.yaml" }) && len(data) < 3000 {
			fmt.Fprintf(&b, "\n-- %s --\n%s", name, data)
		}
	}
	return b.String()
}

// What one run may take: of processor time, since others may be busy here, and of
// memory.
const (
	mostTime   = 10 * time.Second
	mostMemory = 500 << 20
)

// An ending is how a run ended.
type ending struct {
	status    int // -1: by the signal
	out, said []byte
}

// run runs the attack in dir and checks all that must be so however it ends.
func (a attack) run(t *rapid.T, dir string) ending {
	before := a.files
	for name, data := range a.files {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	ctx, cancel := context.WithTimeout(context.Background(), 12*mostTime)
	defer cancel()
	cmd := exec.CommandContext(ctx, "lozenge", a.args...)
	cmd.Dir = dir
	// No browser is found, and nothing of this computer's own.
	cmd.Env = []string{"HOME=" + filepath.Join(dir, "home"), "PATH=" + dir, "TMPDIR=" + dir}
	var e ending
	var out, said bytes.Buffer
	cmd.Stdin, cmd.Stdout, cmd.Stderr = bytes.NewReader(a.files["q.yaml"]), &out, &said
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	if a.signal != 0 {
		timer := time.AfterFunc(a.after, func() { _ = cmd.Process.Signal(a.signal) })
		defer timer.Stop()
	}
	most := make(chan int, 1)
	ended := make(chan struct{})
	go func() { most <- highWater(cmd.Process.Pid, ended) }()
	_ = cmd.Wait() // its state is looked at
	close(ended)
	state := cmd.ProcessState
	e.status, e.out, e.said = state.ExitCode(), out.Bytes(), said.Bytes()
	fail := func(format string, args ...any) {
		t.Helper()
		t.Fatalf("%s; status %d\n%.1000s\n%v", fmt.Sprintf(format, args...), e.status, e.said, a)
	}
	if ctx.Err() != nil {
		fail("it does not end")
	}
	how := state.Sys().(syscall.WaitStatus)
	if how.Signaled() && (a.signal == 0 || how.Signal() != a.signal) {
		fail("it died: %v", state)
	}
	if took := state.UserTime() + state.SystemTime(); took > mostTime {
		fail("it took %v", took)
	}
	if kB := <-most; kB<<10 > mostMemory {
		fail("it took %d MB", kB>>10)
	}
	a.checkWords(fail, e)
	a.checkFiles(fail, dir, before, e)
	return e
}

// highWater returns the most kB of memory that a process held until it ended, as
// looked at again and again: what the system says in the end (getrusage) begins with
// what this program held when it started the other.
func highWater(pid int, ended <-chan struct{}) (most int) {
	for {
		status, _ := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid)) // nothing, when it has ended
		if _, rest, ok := strings.Cut(string(status), "VmHWM:"); ok {
			var now int
			if _, err := fmt.Sscan(rest, &now); err == nil {
				most = max(most, now)
			}
		}
		select {
		case <-ended:
			return most
		case <-time.After(10 * time.Millisecond):
		}
	}
}

// raw are traces of the workshop that no message may show.
var raw = regexp.MustCompile(`goroutine |panic|%!|0xc0|strconv\.|[ (](json|yaml|xml): |runtime error|<nil>|&\{|reflect|\*errors|unmarshal`)

// fileLine is a line of a file that a message shows.
var fileLine = regexp.MustCompile(`(?m)^ *[0-9]+ \| .*$`)

func (a attack) checkWords(fail func(string, ...any), e ending) {
	switch {
	case e.status == statusDone, e.status == statusNo, e.status == statusUsage, e.status < 0 && a.signal != 0:
	case e.status == statusDisk && a.any && bytes.Contains(e.said, []byte("cannot ")):
	default:
		fail("a status that can't be")
	}
	if e.status > 0 && len(e.said) == 0 && (e.status != statusNo || len(e.out) == 0) {
		fail("nothing is said")
	}
	if len(e.said) > 20_000 || !utf8.Valid(e.said) || strings.ContainsFunc(string(e.said), func(r rune) bool {
		return r != '\n' && r != '\t' && r != unicode.ReplacementChar && problem.Invisible(string(r)) != ""
	}) {
		fail("%d bytes are said, and not all can be read: %q", len(e.said), e.said[:min(len(e.said), 2000)])
	}
	if found := raw.Find(fileLine.ReplaceAll(e.said, nil)); found != nil {
		fail("the message shows %q", found)
	}
	// Of several files and patterns some may be refused.
	if e.status == statusUsage && len(e.out) > 0 && !(a.any && (a.args[0] == "measure" || a.args[0] == "make")) {
		fail("refused, and yet: %.300s", e.out)
	}
	// A pipe may hold the beginning of what a signal cut off.
	if len(e.out) > 0 && e.status >= 0 && slices.Contains(a.args, "--json") && !slices.Contains(a.args, "--help") && !json.Valid(e.out) {
		fail("no JSON: %.300s", e.out)
	}
}

func (a attack) checkFiles(fail func(string, ...any), dir string, before map[string][]byte, e ending) {
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		name, _ := filepath.Rel(dir, path)
		if unfinished(d.Name()) {
			fail("%s is left", name)
		}
		data, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		old, was := before[name]
		switch {
		case was && (a.any || bytes.Equal(old, data)):
		case was:
			fail("the input %s was written over", name)
		case e.status == statusUsage && !(a.any && a.args[0] == "make"):
			fail("refused, and %s is written", name)
		default:
			if fault := notWhole(name, data); fault != "" {
				fail("%s is not whole: %s", name, fault)
			}
		}
		return nil
	})
	if err != nil {
		fail("%v", err)
	}
}

// notWhole says why a file is not a whole one of its kind.
func notWhole(name string, data []byte) string {
	ends := func(text string) string {
		if !bytes.HasSuffix(bytes.TrimRight(data, "\r\n"), []byte(text)) {
			return "it does not end in " + text
		}
		return ""
	}
	switch filepath.Ext(name) {
	case ".svg":
		for d := xml.NewDecoder(bytes.NewReader(data)); ; {
			if _, err := d.Token(); errors.Is(err, io.EOF) {
				return ends("</svg>")
			} else if err != nil {
				return err.Error()
			}
		}
	case ".pdf":
		return ends("%%EOF")
	case ".dxf":
		return ends("EOF")
	case ".json":
		if !json.Valid(data) {
			return "no JSON"
		}
	case ".png":
		if _, err := png.Decode(bytes.NewReader(data)); err != nil {
			return err.Error()
		}
	case ".txt", ".csv", ".yaml":
		return ends("")
	}
	return ""
}

// An armoury is what attacks are made of.
type armoury struct {
	patterns, drawings [][]byte
	own                map[string][]byte // files as they should be, by name
	readers            map[string]string // programs that draw, by format
	doubtful           string            // folder of DXF drawings that were called true
	mu                 sync.Mutex
	ended              map[string]int
	trues              int
}

func newArmoury(t *testing.T) *armoury {
	t.Helper()
	a := &armoury{own: map[string][]byte{}, ended: map[string]int{}, doubtful: t.TempDir()}
	read := func(path string) []byte {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		return data
	}
	for _, name := range []string{"tide-lap", "meadow-cot", "ember-throw", "orchard-scraps"} {
		a.patterns = append(a.patterns, read(filepath.Join("../../testdata", name+".yaml")))
	}
	a.patterns = append(a.patterns, pattern.Starter(geometry.Centimetre))
	small := []byte("name: Ebb\nunit: in\nstrips: [{cut: 2 1/2, fabric: silt}, {cut: 2, fabric: foam}]\ncolumns: 4\nrows: 5\nfabrics:\n  silt: {colors: [teal, \"#336699\", {name: mist, color: linen}]}\n  foam: {}\nborders: [{cut: 2, fabric: foam, corners: mitred}]\n")
	dir := t.TempDir()
	q := filepath.Join(dir, "q.yaml")
	writeText(t, q, string(small))
	var said bytes.Buffer
	if s := run([]string{"make", q, "--out", filepath.Join(dir, "out")}, nil, &said, &said); s != statusDone {
		t.Fatal(said.String())
	}
	for name, data := range contents(t, filepath.Join(dir, "out")) {
		switch filepath.Ext(name) {
		case ".svg", ".dxf", ".pdf":
			a.own[name] = []byte(data)
		}
	}
	bin, points := goodTables()
	a.own["q.yaml"], a.own["bin.csv"], a.own["points.csv"] = small, bin, points
	a.own["widths.csv"] = []byte("strip_set,left,middle,right\n1,4,4,4\n2,3 15/16,4,4\n")
	a.own["projector.json"] = read(givenCalibration(t))
	for _, tr := range traps() {
		switch tr.verdict {
		case "true": // the nearest to what is wrongly called so
			a.drawings = append(a.drawings, []byte(tr.file), []byte(tr.file), []byte(tr.file))
		case "unproven", "not true":
			a.drawings = append(a.drawings, []byte(tr.file))
		}
	}
	a.readers = map[string]string{"svg": outside.Tool(t, "rsvg-convert"), "pdf": outside.Tool(t, "pdftoppm"), "dxf": outside.Python(t, "ezdxf")}
	return a
}

// goodTables returns a scrap bin and readings that are as they should be.
func goodTables() (bin, points []byte) {
	var b strings.Builder
	b.WriteString("point,u,v,x,y\n")
	n := 0
	for u := 100; u <= 1800; u += 850 {
		for v := 100; v <= 1000; v += 450 {
			n++
			fmt.Fprintf(&b, "%d,%d,%d,%g,%g\n", n, u, v, float64(u)/40, float64(1080-v)/40)
		}
	}
	return []byte("fabric,name,color,width,length,count\nsilt,mist,teal,2 1/2,40,60\nfoam,,,2,40,60\nfoam,sea,,9,40,2\n"), []byte(b.String())
}

// numbers are those that a reader may trip over.
var numbers = []string{
	"0", "-1", "-0", "1", "2", "3", "7", "0.5", ".5", "1/3", "1/0", "½", "2½", "1e9", "1e308", "1e400", "1e-320", "NaN", "inf", "-inf", "0x1p4", "1_000",
	"0.00254", "89.9999", "89.999999999", "15", "14.999", "4999", "9999", "10000", "10001", "65536", "2147483648", "9223372036854775808", "99999999999999999999", "0.1", "2.54", "72", "96", "288",
}

var snippets = []string{
	"", "\x00", "\xff", "\xed\xa0\x80", "\u202e", "\ufeff", "\u2028", "\r", "\n", "\t", "\x1b[31m", "\"", "'", "<", ">", "&", "&amp;", "&#x202e;", "--", "-->", "]]>", "<!--", "<![CDATA[", "{", "}", "[", "]", "(", ")", "<<", ">>",
	":", ",", ";", "#", "*", "&a", "!!", "%", "%PDF", "EOF", "endstream", "endobj", "SECTION", "ENDSEC", "0\nEOF\n", "\n  70\n", "transform=\"scale(2)\"", "style=\"display:none\"", "S", "f", "n", "W n", "q", "Q", "cm", "true", "null", "~", "yes", "in", "cm", "mm", "pt", "%", "\u00e9", "\U0001f30a",
}

var tokens = regexp.MustCompile(`[-+]?[0-9]*\.?[0-9]+(?:[eE][-+]?[0-9]+)?|[A-Za-z_]+|\s+|[^\sA-Za-z0-9_]`)

// mutated changes a file a little: bytes of it, or tokens.
func mutated(t *rapid.T, data []byte) []byte {
	n := func(most int) int { return rapid.IntRange(0, max(most, 0)).Draw(t, "n") }
	out := slices.Clone(data)
	for range rapid.SampledFrom([]int{1, 1, 1, 2, 5}).Draw(t, "times") {
		if len(out) == 0 {
			break
		}
		if n(2) == 0 { // bytes
			at := n(len(out) - 1)
			end := min(len(out), at+n(30))
			switch n(6) {
			case 0:
				out[at] ^= 1 << n(7)
			case 1:
				out = slices.Delete(out, at, end)
			case 2:
				out = slices.Insert(out, at, slices.Clone(out[at:end])...)
			case 3:
				out = out[:at]
			case 4:
				out = slices.Insert(out, at, []byte(rapid.SampledFrom(snippets).Draw(t, "snippet"))...)
			case 5:
				out = slices.Insert(out, at, bytes.Repeat(out[at:end], 1<<n(10))...)
			case 6:
				other := n(len(out) - 1)
				out[at], out[other] = out[other], out[at]
			}
			continue
		}
		all := tokens.FindAll(out, -1)
		if len(all) == 0 {
			continue
		}
		var of []int // which kind is changed: numbers, words, all
		kind := n(3)
		for i, tok := range all {
			c := tok[len(tok)-1]
			isNumber, isWord := c >= '0' && c <= '9', c >= 'A' && c <= 'z'
			if kind <= 1 && isNumber || kind == 2 && isWord || kind == 3 {
				of = append(of, i)
			}
		}
		if len(of) == 0 {
			continue
		}
		at, other := of[n(len(of)-1)], of[n(len(of)-1)]
		switch n(5) {
		case 0:
			all[at] = []byte(rapid.SampledFrom(numbers).Draw(t, "number"))
		case 1:
			all[at] = []byte(rapid.SampledFrom(snippets).Draw(t, "snippet"))
		case 2:
			all[at] = nil
		case 3:
			all[at], all[other] = all[other], all[at]
		case 4:
			all[at] = all[other]
		case 5:
			all[at] = bytes.Repeat(append(slices.Clone(all[at]), ' '), 1<<n(10))
		}
		out = bytes.Join(all, nil)
	}
	return out
}

// atTheLimits is a pattern whose values are drawn from all that the reader takes.
func atTheLimits(t *rapid.T) []byte {
	yes := func() bool { return rapid.Bool().Draw(t, "yes") }
	power := func(least, most float64) float64 { // of ten: as many short lengths as long ones
		return math.Pow(10, rapid.Float64Range(least, most).Draw(t, "power"))
	}
	longest := math.Log10(pattern.MaxLength)
	length := func() string { return fmt.Sprintf("%.5g", power(-3, longest)) }
	word := func(words ...string) string { return rapid.SampledFrom(words).Draw(t, "word") }
	few := func(most int) int { return rapid.OneOf(rapid.IntRange(1, 12), rapid.IntRange(1, most)).Draw(t, "few") }
	var b strings.Builder
	add := func(key, format string, args ...any) { fmt.Fprintf(&b, key+": "+format+"\n", args...) }
	add("unit", "%s", word("in", "cm"))
	add("angle", "%.4f", rapid.OneOf(rapid.Just(60.0), rapid.Float64Range(geometry.MinAngle, geometry.MaxAngle)).Draw(t, "angle"))
	seam := rapid.OneOf(rapid.Just(0.25), rapid.Just(0.75), rapid.Just(power(-3, 1))).Draw(t, "seam")
	add("seam", "%.5f", seam)
	// Mostly it is wider than its seams, and shorter than the fabric.
	var strips []string
	for range few(pattern.MaxStrips) {
		strips = append(strips, fmt.Sprintf("{cut: %.5f, fabric: %s}", 2*seam+power(-2, 2), word("a", "b", "c")))
	}
	add("strips", "[%s]", strings.Join(strips, ", "))
	if yes() {
		add("usable_width", "%.4f", power(1, longest))
	}
	switch {
	case yes():
		columns := few(pattern.MaxSide)
		add("columns", "%d", columns)
		add("rows", "%d", few(min(pattern.MaxSide, quilt.MaxPieces/columns)))
	case yes():
		add("finish", "{width: %s, height: %s}", length(), length())
	default:
		add("strip_sets", "%d", few(quilt.MaxStripSets))
	}
	if yes() {
		add("color_order", "%s", word("gradient", "scattered", "bands"))
		add("edges", "%s", word("thrifty", "matched"))
		add("fabrics", "\n  a: {colors: [%s], from: %s}\n  b: {}\n  c: {}", strings.Join(slices.Repeat([]string{"teal", "linen", "'#123456'"}, few(8)), ", "), word("yardage", "fat-quarters", "strips"))
	}
	if yes() {
		add("setting", "%s", word("zigzag", "chevron", "one-way"))
		add("tips", "%s", word("matched", "sharp"))
		add("face", "%s", word("up", "down"))
		add("stagger", "%s", word("true", "false"))
	}
	if yes() {
		add("spare", "%d", rapid.IntRange(0, pattern.MaxSpare).Draw(t, "spare"))
		add("end_trim", "%.4f", power(-3, 1))
		add("straighten", "%s", length())
		add("take_up", "%d", rapid.IntRange(0, pattern.MaxPercent).Draw(t, "percent"))
	}
	if yes() {
		add("borders", "[{cut: %.5f, fabric: b, corners: %s}]", 2*seam+power(-2, 1), word("butted", "mitred"))
		add("backing", "{usable_width: %.4f, extra: %s}", power(1, longest), length())
		add("binding", "{cut: %s, extra: %s, joins: %s}", length(), length(), word("diagonal", "straight"))
		add("batting", "{extra: %s}", length())
	}
	return []byte(b.String())
}

// The commands that are tried on a pattern, and on other files.
var (
	onPatterns = []string{
		"plan q.yaml", "plan q.yaml --json", "plan q.yaml --measured widths.csv", "picture q.yaml -o out.svg", "picture q.yaml --png --dpi 30 -o out.png", "picture q.yaml --labels -o out.svg", "mat q.yaml --flat -o out.svg",
		"mat q.yaml --calibration projector.json --out out", "mat q.yaml --calibration projector.json --strips --out out", "cutter q.yaml --out out", "cutter q.yaml --out out --lines --from pieces", "cutter q.yaml --out out --die 3",
		"templates q.yaml --out out", "sewing q.yaml --out out", "sewing q.yaml --json", "booklet q.yaml --out out", "booklet q.yaml --sizes crib,throw --out out", "scraps q.yaml bin.csv", "scraps q.yaml bin.csv --out out", "make q.yaml --out out", "make - --out out", "plan -",
	}
	onTables       = map[string][]string{"bin.csv": {"scraps q.yaml bin.csv --json", "scraps q.yaml bin.csv --out out"}, "points.csv": {"calibrate solve points.csv --screen 1920x1080 -o out.json --map out.svg --accept", "calibrate solve points.csv --screen 1920x1080 --json"}, "widths.csv": {"plan q.yaml --measured widths.csv", "plan q.yaml --measured widths.csv --json"}}
	onCalibrations = []string{"mat q.yaml --calibration projector.json --out out", "mat q.yaml --calibration projector.json --strips --out out"}
	onDrawings     = []string{"measure FILE", "measure FILE --json", "measure FILE --json --pattern q.yaml", "measure FILE --square 4in", "measure FILE --unit mm"}
)

func pick(t *rapid.T, from []string) []string {
	return strings.Fields(rapid.SampledFrom(from).Draw(t, "command"))
}

// kinds are the kinds of attack, by what is attacked.
func (a *armoury) kinds() map[string]func(*rapid.T) attack {
	with := func(name string, data []byte, args []string) attack {
		files := maps.Clone(a.own)
		files[name] = data
		return attack{files: files, args: args}
	}
	return map[string]func(*rapid.T) attack{
		"pattern": func(t *rapid.T) attack {
			return with("q.yaml", mutated(t, rapid.SampledFrom(a.patterns).Draw(t, "pattern")), pick(t, onPatterns))
		},
		"limits": func(t *rapid.T) attack { return with("q.yaml", atTheLimits(t), pick(t, onPatterns)) },
		"table": func(t *rapid.T) attack {
			name := rapid.SampledFrom(slices.Sorted(maps.Keys(onTables))).Draw(t, "table")
			return with(name, mutated(t, a.own[name]), pick(t, onTables[name]))
		},
		"calibration": func(t *rapid.T) attack {
			return with("projector.json", mutated(t, a.own["projector.json"]), pick(t, onCalibrations))
		},
		"drawing": func(t *rapid.T) attack {
			name := rapid.SampledFrom(slices.Sorted(maps.Keys(a.own))).Filter(func(name string) bool {
				return slices.Contains([]string{".svg", ".dxf", ".pdf"}, filepath.Ext(name))
			}).Draw(t, "drawing")
			args := pick(t, onDrawings)
			args[1] = name
			return with(name, mutated(t, a.own[name]), args)
		},
		"arguments": func(t *rapid.T) attack {
			return attack{files: a.own, args: arguments(t, a.own), any: true, signal: syscall.SIGTERM, after: 2 * mostTime}
		},
		"signal": func(t *rapid.T) attack {
			return attack{
				files: a.own, args: pick(t, onPatterns),
				signal: rapid.SampledFrom([]syscall.Signal{syscall.SIGINT, syscall.SIGTERM, syscall.SIGHUP}).Draw(t, "signal"),
				after:  time.Duration(rapid.IntRange(0, 150).Draw(t, "ms")) * time.Millisecond,
			}
		},
	}
}

// arguments are a command with flags and files of any kind, some of them right.
func arguments(t *rapid.T, own map[string][]byte) []string {
	var commands []*cobra.Command
	var walk func(*cobra.Command)
	walk = func(c *cobra.Command) {
		commands = append(commands, c)
		for _, sub := range c.Commands() {
			walk(sub)
		}
	}
	walk(newRoot(talk{out: &checkedWriter{w: io.Discard}, err: io.Discard}))
	c := rapid.SampledFrom(commands).Draw(t, "command")
	words := append(slices.Sorted(maps.Keys(own)), "-", "", "nope", "nope.yaml", ".", "out", "out/a.svg", "/dev/null", "/dev/full", "../q.yaml", strings.Repeat("x", 5000), "a b.svg", "-x.svg", "\x1b[31m.svg", "\u202e.svg", "a\nb", "--", "=", "🌊", "*.yaml", "1920x1080", "letter", "4in", "#ffffff", "crib,twin")
	value := rapid.OneOf(rapid.SampledFrom(words), rapid.SampledFrom(numbers))
	args := strings.Fields(c.CommandPath())[1:]
	for range rapid.IntRange(0, 2).Draw(t, "files") {
		args = append(args, rapid.OneOf(rapid.Just("q.yaml"), value).Draw(t, "file"))
	}
	var flags []string
	c.Flags().VisitAll(func(f *pflag.Flag) {
		if f.Name != "listen" { // nothing is opened to others
			flags = append(flags, f.Name)
		}
	})
	for range rapid.IntRange(0, 4).Draw(t, "flags") {
		flag := "--" + rapid.OneOf(rapid.SampledFrom(append(flags, "help")), rapid.SampledFrom([]string{"out", "nope", "force", "json"})).Draw(t, "flag")
		switch rapid.IntRange(0, 3).Draw(t, "how") {
		case 0:
			args = append(args, flag)
		case 1:
			args = append(args, flag+"="+value.Draw(t, "value"))
		default:
			args = append(args, flag, value.Draw(t, "value"))
		}
	}
	return slices.DeleteFunc(args, func(arg string) bool { return strings.Contains(arg, "\x00") })
}

// Whatever is done to it: no panic, no hang, nothing without bound, each status as
// the manual has it, only whole files, and nothing unfinished; and what measure
// calls true others draw true. 50 inputs, 500 with LOZENGE_FULL=1, and
//
//	go test ./cmd/lozenge -run Attack -rapid.checks=2500
//
// tries 5,000; -rapid.seed or RAPID_SEED tries others.
func TestAttack(t *testing.T) {
	a := newArmoury(t)
	kinds := a.kinds()
	outside.Cases(t, 25, 250)
	outside.Parts(t, 2, func(t *rapid.T) {
		kind := rapid.SampledFrom(append(slices.Sorted(maps.Keys(kinds)), "square")).Draw(t, "kind")
		above, err := os.MkdirTemp("", "lozenge")
		if err != nil {
			t.Fatal(err)
		}
		defer os.RemoveAll(above)
		dir := filepath.Join(above, "here")
		if err := os.Mkdir(dir, 0o755); err != nil {
			t.Fatal(err)
		}
		var e ending
		if kind == "square" {
			e = a.square(t, dir)
		} else {
			e = kinds[kind](t).run(t, dir)
		}
		a.mu.Lock()
		defer a.mu.Unlock()
		a.ended[fmt.Sprintf("%s %d", kind, e.status)]++
	})
	t.Logf("by kind and status: %v; %d squares were called true", a.ended, a.trues)
	a.askEzdxf(t)
}
