package explain_test

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"example.org/dray/report"
)

// The reviewer with a calculator: reads the printed text, takes each chain of
// equals signs apart and computes what stands before the last one with Go's own
// expression parser. It shares nothing with the evaluator of the package.

var (
	unit      = regexp.MustCompile(`(\d) (/?[A-Za-zΩµ°][^ ()]*)`)
	angle     = regexp.MustCompile(`(-?\d[\d.e-]*)°`)
	squareOf  = regexp.MustCompile(`\)²`)
	numerical = regexp.MustCompile(`^[-\d.e+]+( \S+)?$`)
)

// chains collects the equations of a text: at a fixed width each starts with
// "· title" and goes on in lines indented by four; in Markdown each is an item.
func chains(text string, style report.Style) (out []string) {
	if style.Format == report.MD {
		for line := range strings.SplitSeq(text, "\n") {
			if body, ok := strings.CutPrefix(line, "- "); ok {
				out = append(out, strings.NewReplacer(`\_`, "_", `\*`, "*", `\|`, "|", `\[`, "[").Replace(body))
			}
		}
		return out
	}
	current := ""
	for line := range strings.SplitSeq(text, "\n") {
		if strings.HasPrefix(line, "    ") {
			current += " " + strings.TrimSpace(line)
			continue
		}
		if current != "" {
			out = append(out, current)
		}
		current = ""
	}
	return append(out, current)
}

// redo computes every chain of a text again and returns how many there were.
func redo(t *testing.T, id, text string, style report.Style) (count int) {
	t.Helper()
	for _, chain := range chains(text, style) {
		if before, _, ok := strings.Cut(chain, "  ("); ok {
			chain = before // the note
		}
		parts := strings.Split(chain, " = ")
		if len(parts) < 2 {
			continue
		}
		expression, result := strings.TrimSpace(parts[len(parts)-2]), strings.TrimSpace(parts[len(parts)-1])
		if style.Format == report.MD && len(parts) == 2 { // "title: expression = result" or "title: symbol = result"
			if _, after, ok := strings.Cut(expression, ": "); ok {
				expression = after
			}
		}
		if !strings.ContainsAny(expression, "0123456789") || !numerical.MatchString(strings.TrimSpace(result)) || !strings.ContainsAny(expression, "·/+−√(") {
			continue
		}
		if len(expression) > 0 && !strings.ContainsAny(expression, " ") && !strings.ContainsAny(expression[:1], "0123456789(") {
			continue // a symbol such as I0
		}
		got, err := compute(expression)
		if err != nil {
			t.Errorf("%s: %q cannot be computed: %v", id, chain, err)
			continue
		}
		count++
		number, _, _ := strings.Cut(result, " ")
		want, err := strconv.ParseFloat(number, 64)
		if err != nil {
			t.Errorf("%s: result %q: %v", id, result, err)
			continue
		}
		if half := halfDigit(number); math.Abs(got-want) > half*(1+1e-6) {
			t.Errorf("%s: %s: computes to %.9g, printed %s", id, chain, got, number)
		}
	}
	return count
}

// halfDigit is half the weight of the fifth significant digit: what is printed
// drops trailing zeros, so the digits shown do not tell it.
func halfDigit(number string) float64 {
	v, _ := strconv.ParseFloat(number, 64)
	if v == 0 {
		return 1e-12
	}
	return 0.5 * math.Pow(10, math.Floor(math.Log10(math.Abs(v)))-4)
}

// compute turns a printed expression into Go's spelling and folds it.
func compute(text string) (float64, error) {
	go_ := angle.ReplaceAllString(text, "rad($1)")
	go_ = unit.ReplaceAllString(go_, "$1")
	go_ = squareOf.ReplaceAllString(go_, ")*SQ")
	go_ = strings.NewReplacer("√(", "sqrt(", "·", "*", "−", "-", "π", "PI").Replace(go_)
	tree, err := parser.ParseExpr(go_)
	if err != nil {
		return 0, fmt.Errorf("%w in %q", err, go_)
	}
	return fold(tree)
}

// fold computes a tree. (x)*SQ is the square of the bracket before it, which
// binds tighter than what stands to its left.
func fold(e ast.Expr) (float64, error) {
	switch e := e.(type) {
	case *ast.BasicLit:
		return strconv.ParseFloat(e.Value, 64)
	case *ast.Ident:
		if e.Name == "PI" {
			return math.Pi, nil
		}
		return 0, fmt.Errorf("%s is no number", e.Name)
	case *ast.ParenExpr:
		return fold(e.X)
	case *ast.UnaryExpr:
		v, err := fold(e.X)
		if e.Op == token.SUB {
			v = -v
		}
		return v, err
	case *ast.CallExpr:
		v, err := fold(e.Args[0])
		if err != nil {
			return 0, err
		}
		switch fmt.Sprint(e.Fun) {
		case "sqrt":
			return math.Sqrt(v), nil
		case "sin":
			return math.Sin(v), nil
		case "cos":
			return math.Cos(v), nil
		case "tan":
			return math.Tan(v), nil
		case "atan":
			return math.Atan(v), nil
		case "rad":
			return v * math.Pi / 180, nil
		}
		return 0, fmt.Errorf("unknown function %v", e.Fun)
	case *ast.BinaryExpr:
		return foldBinary(e)
	}
	return 0, fmt.Errorf("%T is not understood", e)
}

func foldBinary(e *ast.BinaryExpr) (float64, error) {
	if id, ok := e.Y.(*ast.Ident); ok && id.Name == "SQ" {
		if left, ok := e.X.(*ast.BinaryExpr); ok { // a * (b)*SQ parses as (a*(b))*SQ
			x, err := fold(left.X)
			if err != nil {
				return 0, err
			}
			y, err := fold(left.Y)
			if left.Op == token.QUO {
				return x / (y * y), err
			}
			return x * y * y, err
		}
		v, err := fold(e.X)
		return v * v, err
	}
	x, err := fold(e.X)
	if err != nil {
		return 0, err
	}
	y, err := fold(e.Y)
	switch e.Op {
	case token.ADD:
		return x + y, err
	case token.SUB:
		return x - y, err
	case token.MUL:
		return x * y, err
	case token.QUO:
		return x / y, err
	}
	return 0, fmt.Errorf("operator %v", e.Op)
}
