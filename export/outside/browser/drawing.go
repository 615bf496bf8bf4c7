// SPDX-License-Identifier: Apache-2.0

package browser

// Drawing is what the browser makes of an SVG file, in CSS pixels from the
// page's upper left corner, y down. What has curves, such as letters that are
// shapes, and what is only defined and not shown is left out.
type Drawing struct {
	Width, Height float64 // of the root
	Ratio         float64 // device pixels for one CSS pixel
	Lines         []Line
}

// Line is a path or a rectangle: where its vertices lie once every transform
// is applied. A path of several parts gives a Line for each.
type Line struct {
	Group  string // id of the nearest group that has one
	ID     string
	Number string // data-number
	Size   string // data-size
	Closed bool
	Points [][2]float64
	// Walked is as Points, found by walking along the path: where the browser
	// says that one is after going as far as the vertex. nil for a path of
	// several parts.
	Walked [][2]float64
	// Box is the least x and y and the largest of the bounding box of the
	// whole element.
	Box [4]float64
}

// Drawing opens an SVG file and reads it.
func (p *Page) Drawing(file string) Drawing {
	p.t.Helper()
	p.Navigate(file)
	return Eval[Drawing](p, readDrawing)
}

// readDrawing reads with the interfaces of SVG 2 that a browser has: where an
// element lies on the page is what getScreenCTM makes of it. Path data is
// taken apart here, straight lines only, for want of getPathData; walking along
// the path shows whether the browser read the same.
const readDrawing = `(() => {
	const root = document.documentElement
	const box = root.getBoundingClientRect()
	const out = {Width: box.width, Height: box.height, Ratio: devicePixelRatio, Lines: []}
	for (const e of root.querySelectorAll("path, rect")) {
		if (e.closest("defs, clipPath, mask, pattern, symbol") || /[acqst]/i.test(e.getAttribute("d") || "")) continue
		const m = e.getScreenCTM()
		const page = q => [m.a * q.x + m.c * q.y + m.e - box.x, m.b * q.x + m.d * q.y + m.f - box.y]
		const b = e.getBBox()
		const corners = [[b.x, b.y], [b.x + b.width, b.y], [b.x + b.width, b.y + b.height], [b.x, b.y + b.height]].map(([x, y]) => page({x, y}))
		const xs = corners.map(q => q[0]), ys = corners.map(q => q[1])
		const group = e.parentNode.closest("g[id]")
		const common = {
			Group: group ? group.id : "", ID: e.id, Number: e.dataset.number || "", Size: e.dataset.size || "",
			Box: [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)],
		}
		if (e.tagName == "rect") {
			out.Lines.push({...common, Closed: true, Points: corners, Walked: null})
			continue
		}
		const parts = []
		let x = 0, y = 0, start
		for (const [, letter, rest] of e.getAttribute("d").matchAll(/([a-zA-Z])([^a-zA-Z]*)/g)) {
			const numbers = (rest.match(/[-+]?(\d+\.?\d*|\.\d+)/g) || []).map(Number)
			const kind = letter.toUpperCase()
			if (kind == "Z") {
				parts.at(-1).closed = true
				;({x, y} = start)
				continue
			}
			if (!"MLHV".includes(kind)) throw new Error("a path has " + letter)
			for (let i = 0, begins = kind == "M"; i < numbers.length; begins = false) {
				const from = letter > "Z" ? {x, y} : {x: 0, y: 0}
				if (kind != "V") x = from.x + numbers[i++]
				if (kind != "H") y = from.y + numbers[i++]
				if (begins) parts.push({closed: false, points: [start = {x, y}]})
				else if (parts.at(-1).closed) throw new Error("a path goes on after Z")
				else parts.at(-1).points.push({x, y})
			}
		}
		for (const {closed, points} of parts) {
			let walked = null
			if (parts.length == 1) {
				let s = 0
				walked = points.map((q, i) => {
					if (i > 0) s += Math.hypot(q.x - points[i - 1].x, q.y - points[i - 1].y)
					return page(e.getPointAtLength(s))
				})
			}
			out.Lines.push({...common, Closed: closed, Points: points.map(page), Walked: walked})
		}
	}
	return out
})()`
