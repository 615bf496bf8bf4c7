// SPDX-License-Identifier: Apache-2.0

package export

import (
	"bufio"
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"syscall"
	"time"
)

// TempPrefix begins the name of every file that is not finished yet. It lies
// in the folder of the file it will become; one that is left over from a run
// that was killed can be deleted.
const TempPrefix = ".tmp-"

// The modes of a new file, less the umask.
const (
	newFileMode = 0o644
	privateMode = 0o600
)

// Options says what a file may replace.
type Options struct {
	Force   bool     // replace an existing file
	Inputs  []string // files that are read: never written over, whatever Force says
	Private bool     // only its owner may read it
	Locked  bool     // all files go into a folder that is locked by [LockFolder]
}

// Save has write produce the file at path, whole or not at all; see [Batch].
func Save(path string, opts Options, write func(io.Writer) error) error {
	b := NewBatch(opts)
	defer b.Discard()
	if err := b.Add(path, write); err != nil {
		return err
	}
	return b.Commit()
}

// Batch writes several files of which none is seen before all are complete:
// [Batch.Add] writes each under a temporary name in its own folder,
// [Batch.Commit] renames them all. Call [Batch.Discard] when done, at best
// deferred; it removes what was not committed.
//
// A file that is replaced keeps its mode. Where path is a symbolic link, the
// file it points to is replaced and the link stays. A device or a pipe is
// written straight through when the batch is committed, never renamed over.
//
// Errors are of two kinds: a *[RefusedError] means that the caller asked for
// something that must not be done, a *[DiskError] that the system failed. An
// error of the function that writes is passed on as it is.
type Batch struct {
	opts  Options
	files []staged
}

type staged struct {
	path   string // as the caller named it
	target string // where links lead
	temp   string // "" when written straight through, or done
	data   []byte // written straight through
	direct bool
	isNew  bool // nothing stood at target
}

// NewBatch returns an empty batch.
func NewBatch(opts Options) *Batch { return &Batch{opts: opts} }

// Add has write produce the file that will stand at path. The writer it gets
// is buffered.
func (b *Batch) Add(path string, write func(io.Writer) error) error {
	return b.AddAll([]File{{path, write}}, nil)
}

// OneName returns what is the same for paths that lead to one file on any system:
// Windows and macOS don't tell capitals, Windows drops dots and blanks at the end
// of a name.
func OneName(path string) string {
	return strings.ToLower(strings.TrimRight(filepath.Clean(path), ". "))
}

// File is a file to write: its path, and what produces it.
type File struct {
	Path  string
	Write func(io.Writer) error
}

// atOnce is how many files are produced at the same time, each of which may hold
// the drawing of a large quilt. They wait for the disk all together.
const atOnce = 2

// AddAll is [Batch.Add] for several files, all written at the same time. done,
// unless nil, is called with the index of each that is ready, in any order
// but never twice at once. When several fail, the error is that of the first
// in the order given, so that it is the same from run to run.
func (b *Batch) AddAll(files []File, done func(int)) error {
	staging := make([]staged, len(files))
	replaced := make([]fs.FileInfo, len(files))
	taken := map[string]bool{}
	for _, f := range b.files {
		taken[OneName(f.target)] = true
	}
	for i, file := range files {
		var err error
		if staging[i], replaced[i], err = b.opts.check(file.Path); err != nil {
			return err
		}
		if staging[i].direct {
			continue
		}
		name := OneName(staging[i].target)
		if taken[name] {
			return &RefusedError{Path: file.Path, Why: WrittenTwice}
		}
		taken[name] = true
	}
	errs := make([]error, len(files))
	var wait sync.WaitGroup
	var one sync.Mutex
	turns := make(chan struct{}, min(runtime.GOMAXPROCS(0), atOnce))
	for i := range files {
		wait.Go(func() {
			errs[i] = b.opts.stage(&staging[i], replaced[i], func(w io.Writer) error {
				turns <- struct{}{}
				defer func() { <-turns }()
				return Guard(func() error { return files[i].Write(w) })
			})
			if errs[i] == nil && done != nil {
				one.Lock()
				defer one.Unlock()
				done(i)
			}
		})
	}
	wait.Wait()
	for i, err := range errs {
		if err == nil {
			b.files = append(b.files, staging[i])
		}
	}
	return cmp.Or(errs...)
}

// stage has write produce what f will hold.
func (o Options) stage(f *staged, replaced fs.FileInfo, write func(io.Writer) error) (err error) {
	if f.direct {
		var buf bytes.Buffer
		err = write(&buf)
		f.data = buf.Bytes()
		return err
	}
	f.temp, err = f.writeTemp(o, replaced, write)
	return err
}

// holdTries is how often a file that is held is tried again, after holdWait each
// time: virus scanners let go soon.
const (
	holdTries = 10
	holdWait  = 100 * time.Millisecond
)

// Held returns a *[DiskError] where another program holds a file that would be
// replaced, or one that is to be removed afterwards; nothing was changed then.
// [Batch.Commit] asks, too.
func (b *Batch) Held(remove ...string) error {
	held := func(op, path, target string) error {
		for try := 0; isHeld(target); try++ {
			if try == holdTries {
				return &DiskError{op, path, errors.New("another program has it open; close it in the other program and run this again")}
			}
			time.Sleep(holdWait)
		}
		return nil
	}
	for _, f := range b.files {
		if f.temp == "" || f.isNew {
			continue
		}
		if err := held("replace", f.path, f.target); err != nil {
			return err
		}
	}
	for _, path := range remove {
		if err := held("remove", path, path); err != nil {
			return err
		}
	}
	return nil
}

// Commit puts all files in place, in the order in which they were added, but
// devices and pipes before all others. On an error those before the one it names
// are in place; none where another program holds one of them.
func (b *Batch) Commit() error {
	if err := b.Held(); err != nil {
		return err
	}
	for i := range b.files {
		f := &b.files[i]
		if !f.direct {
			continue
		}
		if err := writeThrough(f.target, f.data); err != nil {
			return &DiskError{"write", f.path, err}
		}
		f.data = nil
	}
	folders, err := b.rename()
	if err != nil {
		return err
	}
	for _, dir := range folders {
		if err := syncFolder(dir); err != nil {
			return &DiskError{"sync", dir, reason(err)}
		}
	}
	b.files = nil
	return nil
}

// rename gives the files their names and returns the folders they stand in. A
// program that is told to end ends before it or after it.
func (b *Batch) rename() (folders []string, err error) {
	unfinished.Lock()
	defer unfinished.Unlock()
	for i := range b.files {
		f := &b.files[i]
		if f.temp == "" {
			continue
		}
		// Another program may have made the file while this one was busy.
		if _, err := os.Lstat(f.target); f.isNew && err == nil && !b.opts.Force {
			return nil, &RefusedError{Path: f.path, Why: Exists}
		}
		if err := os.Rename(f.temp, f.target); err != nil {
			return nil, &DiskError{"rename", f.path, reason(err)}
		}
		delete(unfinished.remove, f.temp)
		f.temp = ""
		if dir := filepath.Dir(f.target); !slices.Contains(folders, dir) {
			folders = append(folders, dir)
		}
	}
	return folders, nil
}

// Discard removes what was not committed. It may be called at any time, more
// than once.
func (b *Batch) Discard() {
	for _, f := range b.files {
		if f.temp != "" {
			removeTemp(f.temp)
		}
	}
	b.files = nil
}

// check decides whether path may be written, and how. replaced is the file
// that stands there, nil when there is none to replace.
func (o Options) check(path string) (f staged, replaced fs.FileInfo, err error) {
	refuse := func(why Refusal) (staged, fs.FileInfo, error) {
		return staged{}, nil, &RefusedError{Path: path, Why: why}
	}
	if path == "" {
		return refuse(NoName)
	}
	f = staged{path: path}
	if f.target, err = followLinks(path); err != nil {
		return staged{}, nil, &DiskError{"open", path, reason(err)}
	}
	if isStream(f.target) {
		f.direct = true
		return f, nil, nil
	}
	info, err := os.Stat(f.target)
	switch {
	case err == nil && info.IsDir():
		return refuse(IsFolder)
	case err == nil && !info.Mode().IsRegular():
		f.direct = true
		return f, nil, nil
	case err == nil:
		if o.reads(info) {
			return refuse(IsInput)
		}
		if !o.Force {
			return refuse(Exists)
		}
		return f, info, nil
	case errors.Is(err, syscall.ENAMETOOLONG):
		return refuse(LongName)
	case !errors.Is(err, fs.ErrNotExist) && !notFolder(err):
		return staged{}, nil, &DiskError{"open", path, reason(err)}
	}
	folder, err := os.Stat(filepath.Dir(f.target))
	switch {
	case os.IsPathSeparator(path[len(path)-1]):
		return refuse(IsFolder)
	case err == nil && !folder.IsDir(),
		errors.Is(err, fs.ErrNotExist), err != nil && notFolder(err):
		return refuse(NoFolder)
	case err != nil:
		return staged{}, nil, &DiskError{"open", path, reason(err)}
	}
	f.isNew = true
	return f, nil, nil
}

func (o Options) reads(out fs.FileInfo) bool {
	return slices.ContainsFunc(o.Inputs, func(in string) bool {
		info, err := os.Stat(in)
		return err == nil && os.SameFile(info, out)
	})
}

// followLinks returns what path stands for when it is a symbolic link, also
// one that points to nothing yet.
func followLinks(path string) (string, error) {
	for range 40 { // as many as Linux follows
		if isStream(path) {
			return path, nil
		}
		info, err := os.Lstat(path)
		if err != nil || info.Mode()&fs.ModeSymlink == 0 {
			// What is wrong with the path comes to light when it is used.
			return path, nil
		}
		to, err := os.Readlink(path)
		if err != nil {
			return "", err
		}
		if !filepath.IsAbs(to) {
			// Joined without cleaning: ".." after a linked folder means the
			// parent of where that leads.
			to = filepath.Dir(path) + string(filepath.Separator) + to
		}
		path = to
	}
	return "", errors.New("too many symbolic links, one pointing to the next")
}

// writeTemp writes a temporary file beside the target and returns its name, or
// leaves nothing. It has the mode of the file that is replaced, if any.
func (f *staged) writeTemp(o Options, replaced fs.FileInfo, write func(io.Writer) error) (name string, err error) {
	mode := fs.FileMode(newFileMode)
	switch {
	case o.Private:
		mode = privateMode
	case replaced != nil:
		mode = replaced.Mode().Perm()
	}
	file, err := createTemp(filepath.Dir(f.target), o.Locked, mode)
	if err != nil {
		return "", &DiskError{"create", f.path, reason(err)}
	}
	temp := file.Name()
	defer func() {
		if err != nil {
			file.Close() // a second Close does no harm
			removeTemp(temp)
		}
	}()
	sink := &diskWriter{f.path, file}
	buf := bufio.NewWriterSize(sink, 1<<16)
	if err = write(buf); err != nil {
		return "", err
	}
	// A writer that did not look at the errors it got must not pass.
	if err = buf.Flush(); err != nil {
		return "", err
	}
	if replaced != nil { // the umask must not narrow it
		if err = file.Chmod(mode); err != nil {
			return "", &DiskError{"change the mode of", f.path, reason(err)}
		}
	}
	if err = cmp.Or(file.Sync(), file.Close()); err != nil {
		return "", &DiskError{"write", f.path, reason(err)}
	}
	return temp, nil
}

// lockedMark begins the number of files that are written under a folder's lock.
const lockedMark = "locked-"

// createTemp is os.CreateTemp with a mode, less the umask.
func createTemp(dir string, locked bool, mode fs.FileMode) (*os.File, error) {
	mark := ""
	if locked {
		mark = lockedMark
	}
	unfinished.Lock()
	defer unfinished.Unlock()
	for try := 0; ; try++ {
		name := filepath.Join(dir, fmt.Sprintf("%s%s%016x", TempPrefix, mark, rand.Uint64()))
		file, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
		if err == nil {
			unfinished.remove[name] = func() { file.Close(); os.Remove(name) } // Windows removes no open file
		}
		if !errors.Is(err, fs.ErrExist) || try == 100 {
			return file, err
		}
	}
}

// diskWriter marks the errors of a file as such, so that they are told from
// errors in what is written.
type diskWriter struct {
	path string
	w    io.Writer
}

func (d *diskWriter) Write(p []byte) (int, error) {
	n, err := d.w.Write(p)
	if err != nil {
		err = &DiskError{"write", d.path, reason(err)}
	}
	return n, err
}

// writeThrough writes to something that is no file and so cannot be replaced.
func writeThrough(path string, data []byte) error {
	if file := standardStream(path); file != nil {
		// Opening it anew would start at the beginning of what the shell
		// sent it to.
		_, err := file.Write(data)
		return reason(err)
	}
	file, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return reason(err)
	}
	_, err = file.Write(data)
	return reason(cmp.Or(err, file.Close()))
}

// reason drops the system call and the temporary name from an error of
// package os: the message names the file that was asked for.
func reason(err error) error {
	var path *fs.PathError
	if errors.As(err, &path) {
		return path.Err
	}
	var link *os.LinkError
	if errors.As(err, &link) {
		return link.Err
	}
	return err
}
