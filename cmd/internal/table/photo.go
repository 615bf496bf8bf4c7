// SPDX-License-Identifier: Apache-2.0

package table

import (
	"bytes"
	"errors"
	"fmt"
	"net/http"
	"sync"
	"time"

	"lozenge/calibrate"
	"lozenge/calibrate/photo"
	"lozenge/cmd/internal/web"
	"lozenge/export/photograph"
	"lozenge/export/words"
	"lozenge/geometry"
)

// photographing shows all crosses at once and waits for a photo of them.
type photographing struct {
	mat     string
	screen  calibrate.Screen
	targets []calibrate.Target
	wrong   string       // why the last photo won't do
	before  *photo.Found // in the photo before, or nil
}

func newPhotographing(mat string, s calibrate.Screen) *photographing {
	targets, err := calibrate.Targets(s, photo.UsualCrosses, 1)
	if err != nil {
		panic(err) // the screen was looked at before
	}
	return &photographing{mat: mat, screen: s, targets: targets}
}

// What a page for the hand offers of photos.
const (
	photoOffered = "offer" // crosses can be photographed instead of read
	photoAwaited = "take"  // they are shown
)

func (p *photographing) show(s *session, v *view) {
	v.Stage = "read"
	v.onTheWay(0)
	v.Photo = photoAwaited
	v.Say = "Take a photo of all crosses with the phone."
	if p.wrong != "" {
		v.Say = words.Sentence("this photo won't do: " + p.wrong)
	}
	v.more("Room lights on, flash off, no zoom; the whole picture in it, nothing on a cross. Hold still.")
	for _, t := range p.targets {
		v.crossAt(t, p.screen, asCross)
	}
	// The words stand between the rows of crosses, clear of them.
	w, h := float64(p.screen.Width), float64(p.screen.Height)
	clear := calibrate.MarkRoom * min(w, h) / 1080
	top, bottom := p.targets[0].V+clear, p.targets[photo.UsualCrosses.Columns].V-clear
	k := 0.8 * w / panelWide
	v.Panel = &panel{Matrix: [9]float64{k, 0, 0.1 * w, 0, k, top, 0, 0, 1}, Wide: panelWide, High: max(bottom-top, 0.1*h) / k}
	v.key("Backspace", "read the crosses yourself")
}

// panelWide is how wide words are laid out that stand on no map yet, in inches:
// about as wide as they will be on a mat.
const panelWide = 28.0

func (p *photographing) hear(s *session, a action) {
	if a.key() == "back" {
		s.readAll(p.mat)
	}
}

// resized shows the crosses where they stand now.
func (p *photographing) resized(s *session) {
	if s.window.device().Validate() != nil {
		s.readAll(p.mat)
		return
	}
	s.enter(newPhotographing(p.mat, s.window.device()))
}

// photographed is what one photo gave.
type photographed struct {
	found *photo.Found
	shown []byte // a PNG
	apart float64
	twice bool // apart is from the photo before
}

const (
	mostPhoto = 20 << 20 // bytes
	photoTime = 2 * time.Minute
	photoType = "application/octet-stream" // no form can send it
)

// One photo at a time is enough work for any computer.
var onePhoto sync.Mutex

// takePhoto answers a photo that was sent.
func (s *Server) takePhoto(w http.ResponseWriter, r *http.Request) {
	line := http.NewResponseController(w)
	if line.SetReadDeadline(time.Now().Add(photoTime)) != nil || line.SetWriteDeadline(time.Now().Add(photoTime)) != nil {
		return
	}
	data, ok := web.Body(w, r, photoType, mostPhoto)
	if !ok {
		return
	}
	step, fine, err := photo.ParseGrid(r.URL.Query().Get("grid"))
	if err != nil {
		http.Error(w, err.Error(), http.StatusBadRequest)
		return
	}
	o := photo.Options{Step: step, Fine: fine}
	if text := r.URL.Query().Get("wide"); text != "" {
		wide, err := geometry.ParseLength(text, s.session.unit())
		if err != nil {
			http.Error(w, err.Error(), http.StatusBadRequest)
			return
		}
		o.Wide = wide.In(geometry.Inch)
	}
	web.JSON(w, s.session.seePhoto(data, o))
}

// seePhoto finds the crosses in a photo, while the pages go on, and returns what
// to show.
func (s *session) seePhoto(data []byte, o photo.Options) *view {
	s.mu.Lock()
	p, awaited := s.stage.(*photographing)
	c, square := s.stage.(*checking)
	s.mu.Unlock()
	switch {
	case square:
		return s.seeSquare(c, data, o)
	case !awaited:
		return s.now()
	}
	onePhoto.Lock()
	o.Screen = p.screen
	seen, draft, wrong := p.look(data, o, calibrate.Options{Unit: s.unit()})
	onePhoto.Unlock()
	return s.after(p, func() {
		if p.wrong = wrong; wrong == "" {
			s.lastPhoto = seen
			s.enter(&found{draft: draft, photo: seen})
		}
	})
}

// after has what a photo shows taken in, unless somebody went on meanwhile.
func (s *session) after(at stage, take func()) *view {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.stage == at {
		s.notes = nil
		take()
		s.tellAll()
	}
	return s.view()
}

// seeSquare measures the check square in a photo.
func (s *session) seeSquare(c *checking, data []byte, o photo.Options) *view {
	s.mu.Lock()
	side, u := s.checkSquare().Width(), s.unit()
	s.mu.Unlock()
	onePhoto.Lock()
	var seen *photo.Square
	im, err := photograph.Decode(data)
	if err == nil {
		seen, err = photo.ReadSquare(im, side, o)
	}
	onePhoto.Unlock()
	return s.after(c, func() {
		if err != nil {
			s.note("%s", words.Sentence("this photo won't do: "+err.Error()))
			return
		}
		c.judge(seen.Reading(side, u), true)
	})
}

// look finds the crosses in a photo and solves; wrong says why that won't do.
func (p *photographing) look(data []byte, o photo.Options, solve calibrate.Options) (seen *photographed, d *draft, wrong string) {
	im, err := photograph.Decode(data)
	if err != nil {
		return nil, nil, err.Error()
	}
	f, err := photo.Read(im, o)
	var refused *photo.Refusal
	if errors.As(err, &refused) && refused.Rule == photo.WhichGrid {
		return nil, nil, refused.Text + "; or type on the phone how wide the picture is on the mat"
	}
	if err != nil {
		return nil, nil, err.Error()
	}
	d = &draft{mat: p.mat, screen: p.screen, targets: p.targets, texts: make([]string, len(p.targets)), readings: make([]calibrate.Reading, len(p.targets))}
	for _, r := range f.Readings() {
		i := d.indexOf(r.Point)
		d.readings[i], d.texts[i] = r, "photo"
	}
	d.result = calibrate.Solve(f.Readings(), p.screen, solve)
	seen = &photographed{found: f}
	if p.before != nil {
		seen.apart, seen.twice = photo.Apart(p.before, f), true
	}
	var out bytes.Buffer
	if err := photograph.WriteShown(&out, im, f, d.result); err == nil { // else there is nothing to look at, and no harm
		seen.shown = out.Bytes()
	}
	return seen, d, ""
}

// shownPhoto answers with what was found in the last photo.
func (s *Server) shownPhoto(w http.ResponseWriter) {
	s.session.mu.Lock()
	seen := s.session.lastPhoto
	s.session.mu.Unlock()
	if seen == nil || seen.shown == nil {
		http.Error(w, "no photo was taken", http.StatusNotFound)
		return
	}
	w.Header().Set("Content-Type", "image/png")
	w.Write(seen.shown)
}

// another waits for a second photo, to be compared with this one.
func (f *found) another(s *session) {
	p := newPhotographing(f.mat, f.screen)
	p.before = f.photo.found
	s.enter(p)
}

// tell says what the photo showed.
func (p *photographed) tell(s *session, v *view) {
	v.more(fmt.Sprintf("%d of %d crosses were found in the photo.", len(p.found.Crosses), len(p.found.Crosses)+len(p.found.Missing)))
	if p.twice {
		v.more(fmt.Sprintf("The photo before has them within %s of these.", words.Small(p.apart, s.unit())))
	}
	v.PhotoShown = p.shown != nil
	v.key("T", "another photo, to compare")
}
