package figures

import (
	"bytes"
	"fmt"
	"html"
	"io"
	"regexp"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgsvg"
)

// FontStack is what text in figures is set in: faces of one width.
const FontStack = "'Liberation Sans', Arimo, Arial, Helvetica, sans-serif"

// raw draws the figure by gonum's SVG canvas, and returns the rooms of its
// texts in the order they stand in it.
func (f *Figure) raw() ([]byte, []box) {
	w, h := f.Size()
	c := vgsvg.NewWith(vgsvg.UseWH(vg.Length(w), vg.Length(h)))
	boxes := f.draw(draw.New(c))
	var b bytes.Buffer
	_, _ = c.WriteTo(&b) // a bytes.Buffer takes all
	return b.Bytes(), boxes
}

// Inline is the figure as an svg element for a page: no script, no style
// attribute, nothing fetched, text to the reader by title and description.
// Every colour is a presentation attribute with a class s-NAME or f-NAME beside
// it (see Classes), so that a style sheet can recolour it for dark screens. The
// id must be unique in the page.
func (f *Figure) Inline(id string) string {
	w, h := f.Size()
	return fmt.Sprintf(`<svg class="figure" viewBox="0 0 %g %g" role="img" aria-labelledby="%s-t %s-d" font-family="%s">`+
		`<title id="%s-t">%s</title><desc id="%s-d">%s</desc>%s</svg>`,
		w, h, id, id, html.EscapeString(FontStack), id, html.EscapeString(f.Title), id, html.EscapeString(f.Finding), f.marks())
}

// SVG writes the figure as a file of its own on white paper.
func (f *Figure) SVG(w io.Writer) error {
	wide, high := f.Size()
	_, err := fmt.Fprintf(w, `<?xml version="1.0" encoding="UTF-8"?>
<svg xmlns="http://www.w3.org/2000/svg" width="%g" height="%g" viewBox="0 0 %g %g" role="img" aria-labelledby="t d" font-family="%s">
<title id="t">%s</title>
<desc id="d">%s</desc>
<rect width="%g" height="%g" fill="#ffffff"/>
%s
</svg>
`, 1.5*wide, 1.5*high, wide, high, html.EscapeString(FontStack), html.EscapeString(f.Title), html.EscapeString(f.Finding), wide, high, f.marks())
	return err
}

// PNG writes the figure on white paper at 160 dots an inch.
func (f *Figure) PNG(w io.Writer) error {
	wide, high := f.Size()
	c := vgimg.NewWith(vgimg.UseWH(vg.Length(wide), vg.Length(high)), vgimg.UseDPI(160))
	f.draw(draw.New(c))
	_, err := vgimg.PngCanvas{Canvas: c}.WriteTo(w)
	return err
}

var (
	svgBody  = regexp.MustCompile(`(?s)^.*?<svg[^>]*>(.*)</svg>\s*$`)
	svgText  = regexp.MustCompile(`<text `)
	svgStyle = regexp.MustCompile(`\s+style="([^"]*)"`)
	svgSpace = regexp.MustCompile(`\s*\n\s*`)
)

// marks is what stands inside the svg element: gonum's style attributes turned
// into presentation attributes and classes, what every element would say again
// dropped, and each text held to the width it was laid out with, so that another
// face in the place of ours neither touches a neighbour nor leaves the page.
func (f *Figure) marks() string {
	svg, boxes := f.raw()
	m := svgBody.FindSubmatch(svg)
	if m == nil {
		return ""
	}
	body := svgStyle.ReplaceAllStringFunc(string(m[1]), func(s string) string {
		return attributes(svgStyle.FindStringSubmatch(s)[1])
	})
	i := 0
	body = svgText.ReplaceAllStringFunc(body, func(s string) string {
		wide := (boxes[i].x1 - boxes[i].x0) / slack
		i++
		return fmt.Sprintf(`<text textLength="%.1f" lengthAdjust="spacingAndGlyphs" `, wide)
	})
	return strings.TrimSpace(svgSpace.ReplaceAllString(body, " "))
}

// attributes writes a style's declarations as attributes. The family is the
// root's; normal is what it is anyway.
func attributes(style string) string {
	var classes []string
	var b strings.Builder
	for decl := range strings.SplitSeq(style, ";") {
		name, value, ok := strings.Cut(decl, ":")
		name, value = strings.TrimSpace(name), strings.TrimSpace(value)
		if !ok || name == "font-family" || value == "normal" || name == "font-style" || name == "font-variant" {
			continue
		}
		if name == "fill" || name == "stroke" {
			if c := classOf(value); c != "" {
				classes = append(classes, name[:1]+"-"+c)
			}
			value = strings.ToLower(value)
		}
		if name == "font-size" {
			value = strings.TrimSuffix(value, "px")
		}
		fmt.Fprintf(&b, ` %s="%s"`, name, value)
	}
	if len(classes) > 0 {
		return fmt.Sprintf(` class="%s"%s`, strings.Join(classes, " "), b.String())
	}
	return b.String()
}

func classOf(colour string) string {
	for _, s := range shades() {
		if strings.EqualFold(colour, fmt.Sprintf("#%02x%02x%02x", s.rgb.R, s.rgb.G, s.rgb.B)) {
			return s.class
		}
	}
	return ""
}
