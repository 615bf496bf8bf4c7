// SPDX-License-Identifier: Apache-2.0

package photo_test

import (
	"runtime"
	"testing"

	"lozenge/calibrate"
	"lozenge/calibrate/photo"
	"lozenge/calibrate/photo/scene"
)

// BenchmarkTwelveMegapixels reads a photo of 12 megapixels; all that is taken of
// memory, even what is given back meanwhile, stays below 500 MB, and the time
// below 3 s.
func BenchmarkTwelveMegapixels(b *testing.B) {
	s := scene.Good(5, 4000)
	im := sent(b, s.Photo())
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	for b.Loop() {
		if _, err := photo.Read(im, photo.Options{Screen: calibrate.Screen{Width: 1920, Height: 1080}, Step: s.Mat.Step}); err != nil {
			b.Fatal(err)
		}
	}
	runtime.ReadMemStats(&after)
	megabytes := float64(after.TotalAlloc-before.TotalAlloc) / float64(b.N) / 1e6
	b.ReportMetric(megabytes, "MB")
	if each := b.Elapsed().Seconds() / float64(b.N); each > 3 || megabytes > 500 {
		b.Errorf("%.2f s, %.0f MB", each, megabytes)
	}
}
