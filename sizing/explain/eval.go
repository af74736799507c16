package explain

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// evaluate computes an expression as it is printed: numbers with their units,
// which carry no factor except ° (degrees), with + − · / between blanks, the
// postfix ² and the functions √ sin cos tan atan of a bracket.
//
// A unit is the word behind a number and a blank; it never holds a blank or a
// bracket. The error names the place that is not understood.
func evaluate(text string) (float64, error) {
	p := parser{rest: strings.ReplaceAll(text, "\u00a0", " ")}
	v := p.sum()
	p.blanks()
	if p.err == nil && p.rest != "" {
		p.fail("an operator")
	}
	return v, p.err
}

type parser struct {
	rest string
	err  error
}

func (p *parser) fail(want string) {
	if p.err == nil {
		p.err = fmt.Errorf("want %s at %q", want, p.rest)
	}
	p.rest = ""
}

func (p *parser) blanks() { p.rest = strings.TrimLeft(p.rest, " ") }

// take consumes a mark if it comes next.
func (p *parser) take(mark string) bool {
	rest, ok := strings.CutPrefix(p.rest, mark)
	if ok {
		p.rest = rest
	}
	return ok
}

func (p *parser) sum() float64 {
	v := p.product()
	for {
		switch p.blanks(); {
		case p.take("+ "):
			v += p.product()
		case p.take("− "):
			v -= p.product()
		default:
			return v
		}
	}
}

func (p *parser) product() float64 {
	v := p.power()
	for {
		switch p.blanks(); {
		case p.take("· "):
			v *= p.power()
		case p.take("/ "):
			v /= p.power()
		default:
			return v
		}
	}
}

func (p *parser) power() float64 {
	v := p.atom()
	if p.take("²") {
		v *= v
	}
	return v
}

func (p *parser) atom() float64 {
	p.blanks()
	for _, f := range []struct {
		name string
		of   func(float64) float64
	}{{"", func(x float64) float64 { return x }}, {"√", math.Sqrt}, {"sin", math.Sin}, {"cos", math.Cos}, {"atan", math.Atan}, {"tan", math.Tan}} {
		if p.take(f.name + "(") {
			v := p.sum()
			if p.blanks(); !p.take(")") {
				p.fail("a closing bracket")
			}
			return f.of(v)
		}
	}
	if p.take("π") {
		return math.Pi
	}
	return p.number()
}

// number reads a number and the unit behind it.
func (p *parser) number() float64 {
	end := 0
	for end < len(p.rest) {
		c := p.rest[end]
		sign := (c == '-' || c == '+') && (end == 0 || p.rest[end-1] == 'e')
		if !sign && c != '.' && c != 'e' && (c < '0' || c > '9') {
			break
		}
		end++
	}
	v, err := strconv.ParseFloat(p.rest[:end], 64)
	if err != nil {
		p.fail("a number")
		return math.NaN()
	}
	p.rest = p.rest[end:]
	if p.take("°") {
		return v * math.Pi / 180
	}
	if rest, ok := strings.CutPrefix(p.rest, " "); ok {
		r, size := utf8.DecodeRuneInString(rest)
		if r == '/' { // per kelvin
			r, _ = utf8.DecodeRuneInString(rest[size:])
		}
		if unicode.IsLetter(r) || r == '°' {
			end := strings.IndexAny(rest, " )")
			if end < 0 {
				end = len(rest)
			}
			p.rest = rest[end:]
		}
	}
	return v
}
