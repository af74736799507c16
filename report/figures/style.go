package figures

import (
	"image/color"

	xfont "golang.org/x/image/font"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/font/liberation"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// The page of a figure, in points. It is narrow on purpose: on a telephone it
// shrinks by a quarter and its text stays readable.
const (
	pageWidth  = 390
	textSize   = 11
	smallSize  = 10
	lineGap    = 13.5 // between baselines of stacked labels
	leaderRoom = 16   // between the plotted area and the labels at its right
)

// shade is a tone on paper; screens in the dark override it by class.
type shade struct {
	class string
	rgb   color.NRGBA
}

func rgb(hex uint32) color.NRGBA {
	return color.NRGBA{uint8(hex >> 16), uint8(hex >> 8), uint8(hex), 255}
}

func shadeOf(t Tone) shade {
	return [...]shade{
		Ink:  {"ink", rgb(0x17212b)},
		Blue: {"blue", rgb(0x1d5c99)},
		Rust: {"rust", rgb(0xb3500f)},
		Moss: {"moss", rgb(0x4f7326)},
		Plum: {"plum", rgb(0x7b3f7d)},
		Grey: {"grey", rgb(0x5c666f)},
	}[t]
}

// The colours that belong to no tone.
func gridShade() shade { return shade{"grid", rgb(0xdde2e6)} }
func spanShade() shade { return shade{"span", rgb(0xf1f4f6)} }

// shades lists every colour a figure may hold.
func shades() []shade {
	all := []shade{gridShade(), spanShade()}
	for t := Ink; t <= Grey; t++ {
		all = append(all, shadeOf(t))
	}
	return all
}

// Classes are the names under which a page may recolour figures: for each c
// the classes s-c (stroke) and f-c (fill).
func Classes() []string {
	var out []string
	for _, s := range shades() {
		out = append(out, s.class)
	}
	return out
}

func dashOf(d Dash) []vg.Length {
	return [...][]vg.Length{
		Solid:      nil,
		Long:       {9, 3.5},
		Short:      {4.5, 3},
		Dotted:     {1.2, 2.8},
		DashDot:    {8, 3, 1.4, 3},
		DashDotDot: {8, 3, 1.4, 3, 1.4, 3},
	}[d]
}

// typeface makes text of one size. The fonts are Liberation Sans, which has
// the widths of the sans faces that other systems put in its place.
type typeface struct{ cache *font.Cache }

func newTypeface() typeface { return typeface{font.NewCache(liberation.Collection())} }

func (t typeface) style(size float64, bold bool, tone Tone) text.Style {
	f := font.Font{Typeface: "Liberation", Variant: "Sans", Size: vg.Length(size)}
	if bold {
		f.Weight = xfont.WeightBold
	}
	return text.Style{Color: shadeOf(tone).rgb, Font: f, Handler: text.Plain{Fonts: t.cache}}
}

func lineStyle(t Tone, d Dash, width float64) draw.LineStyle {
	return draw.LineStyle{Color: shadeOf(t).rgb, Width: vg.Length(width), Dashes: dashOf(d)}
}
