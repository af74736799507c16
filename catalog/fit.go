package catalog

import (
	"errors"
	"fmt"
	"math"

	"example.org/dray/quantity"
	"gonum.org/v1/gonum/mat"
)

// fitted are the unknowns of a row while they are fitted.
type fitted struct {
	r, k, i0, eta float64
}

// equation is one figure of the row against the constants, as a relative residual.
type equation func(f fitted) float64

// fit finds the constants that a row does not give in closed form, by least
// squares over every relation its figures stand in. False when the row has
// fewer independent relations than unknowns; or when its figures do not meet
// within 10 %, which clash then says.
func fit(l *listing, c *constants) bool {
	if !l.voltage.Known() {
		return false
	}
	free := unknowns(l)
	equations := relations(l)
	if len(equations) < len(free) {
		return false
	}
	best, least := fitted{}, math.Inf(1)
	for _, start := range starts(l) {
		if f, sum, ok := levenberg(start, free, equations); ok && sum < least {
			best, least = f, sum
		}
	}
	switch off := math.Sqrt(least / float64(len(equations))); {
	case math.IsInf(least, 1):
		return false
	case off > 0.1:
		c.clash = fmt.Sprintf("the figures of the row contradict each other by %.0f %% (root mean square)", 100*off)
		return false
	case best.eta > grossImpossible:
		c.clash = fmt.Sprintf("the figures of the row ask for a gear efficiency of %.3g", best.eta)
		return false
	}
	c.take(l, best)
	return true
}

// take turns a fit into figures, leaving listed ones as they are.
func (c *constants) take(l *listing, f fitted) {
	const why = "fitted to the figures of the row, a basic one being missing"
	c.resistance = quantity.Figure[quantity.Resistance]{Value: quantity.Resistance(f.r), Basis: quantity.Derived, Note: why}
	c.k = quantity.Figure[quantity.MotorConstant]{Value: quantity.MotorConstant(f.k), Basis: quantity.Derived, Note: why}
	if !l.current.Known() {
		c.current = quantity.Figure[quantity.Current]{Value: quantity.Current(f.i0), Basis: quantity.Derived, Note: why}
	}
	if l.trainOpen() {
		c.efficiency = quantity.Figure[quantity.Fraction]{Value: quantity.Fraction(f.eta), Basis: quantity.Derived, Note: why}
	}
	if !c.stall.Known() {
		c.stall = quantity.Figure[quantity.Current]{Value: quantity.Current(float64(l.voltage.Value) / f.r), Basis: quantity.Derived, Note: "nominal voltage over fitted resistance"}
	}
	c.remark(Note, "id", "R, k and I0 are fitted to the figures of the row, a basic one being missing")
}

// trainOpen reports whether the train's efficiency is one of the unknowns.
func (l *listing) trainOpen() bool {
	return l.output && !l.bare && !l.efficiency.Known() && (l.torque.Known() || l.ratedTorque.Known())
}

// unknowns lists which of a fit's values are free.
func unknowns(l *listing) []func(*fitted) *float64 {
	free := []func(*fitted) *float64{
		func(f *fitted) *float64 { return &f.r },
		func(f *fitted) *float64 { return &f.k },
	}
	if !l.current.Known() {
		free = append(free, func(f *fitted) *float64 { return &f.i0 })
	}
	if l.trainOpen() {
		free = append(free, func(f *fitted) *float64 { return &f.eta })
	}
	return free
}

// relations lists what ties the constants to the figures of the row.
func relations(l *listing) (list []equation) {
	v, n := float64(l.voltage.Value), l.turns()
	add := func(e equation) { list = append(list, e) }
	if l.speed.Known() {
		w := float64(l.speed.Value) * n
		add(func(f fitted) float64 { return (f.i0*f.r+f.k*w)/v - 1 })
	}
	if l.stall.Known() {
		add(func(f fitted) float64 { return f.r*float64(l.stall.Value)/v - 1 })
	}
	if l.torque.Known() {
		add(func(f fitted) float64 { return n*f.eta*f.k*(v/f.r-f.i0)/float64(l.torque.Value) - 1 })
	}
	if l.resistance.Known() {
		add(func(f fitted) float64 { return f.r/float64(l.resistance.Value) - 1 })
	}
	if l.torqueK.Known() {
		add(func(f fitted) float64 { return f.k/float64(l.torqueK.Value) - 1 })
	}
	if l.speedK.Known() {
		add(func(f fitted) float64 { return f.k*l.speedK.Value - 1 })
	}
	return append(list, ratedRelations(l)...)
}

// ratedRelations are those of the rated point: its voltage balance and its torque.
func ratedRelations(l *listing) (list []equation) {
	v, n := float64(l.voltage.Value), l.turns()
	t, i, w := l.ratedTorque, l.ratedCurrent, l.ratedSpeed
	current := func(f fitted) float64 {
		if i.Known() {
			return float64(i.Value)
		}
		return f.i0 + float64(t.Value)/(n*f.eta*f.k)
	}
	if w.Known() && (i.Known() || t.Known()) {
		list = append(list, func(f fitted) float64 { return (current(f)*f.r+f.k*float64(w.Value)*n)/v - 1 })
	}
	if t.Known() && i.Known() {
		list = append(list, func(f fitted) float64 { return n*f.eta*f.k*(float64(i.Value)-f.i0)/float64(t.Value)*1 - 1 })
	}
	return list
}

// starts are first guesses; a usual small motor has I0 a twentieth of stall.
func starts(l *listing) (list []fitted) {
	v := float64(l.voltage.Value)
	eta := 1.0
	if l.output && !l.bare {
		eta = float64(l.efficiency.Or(0.6))
	}
	speed := float64(l.speed.Value) * l.turns()
	if !l.speed.Known() {
		speed = 1.3 * float64(l.ratedSpeed.Or(300)) * l.turns()
	}
	for _, stall := range []float64{3, 8, 20} {
		is := float64(l.stall.Value)
		if !l.stall.Known() {
			is = stall * float64(l.ratedCurrent.Or(l.current.Or(0.2)*4))
		}
		f := fitted{r: v / is, k: 0.93 * v / speed, i0: float64(l.current.Or(quantity.Current(is / 20))), eta: eta}
		if l.resistance.Known() {
			f.r = float64(l.resistance.Value)
		}
		if l.torqueK.Known() {
			f.k = float64(l.torqueK.Value)
		}
		list = append(list, f)
	}
	return list
}

// levenberg minimises the sum of squared residuals over the logarithms of the
// free values (Levenberg 1944, damped Gauss–Newton). ok is false when it does
// not settle or a value is not determined by the relations.
func levenberg(f fitted, free []func(*fitted) *float64, equations []equation) (best fitted, sum float64, ok bool) {
	damping := 1e-3
	sum = squares(f, equations)
	for range 200 {
		jacobian, residual := slopes(f, free, equations)
		step, solved := dampedStep(jacobian, residual, damping)
		if !solved {
			return f, sum, false
		}
		trial := f
		largest := 0.0
		for j, at := range free {
			d := math.Max(-1, math.Min(1, step.AtVec(j)))
			*at(&trial) *= math.Exp(d)
			largest = math.Max(largest, math.Abs(d))
		}
		if next := squares(trial, equations); next <= sum {
			f, sum, damping = trial, next, math.Max(damping/10, 1e-12)
		} else if damping *= 10; damping > 1e8 {
			break
		}
		if largest < 1e-12 {
			break
		}
	}
	return f, sum, determined(f, free, equations)
}

func squares(f fitted, equations []equation) (sum float64) {
	for _, e := range equations {
		r := e(f)
		sum += r * r
	}
	if math.IsNaN(sum) {
		return math.Inf(1)
	}
	return sum
}

// slopes is the Jacobian of the residuals against the logarithms of the free
// values, by central differences.
func slopes(f fitted, free []func(*fitted) *float64, equations []equation) (*mat.Dense, *mat.VecDense) {
	const h = 1e-6
	jacobian := mat.NewDense(len(equations), len(free), nil)
	residual := mat.NewVecDense(len(equations), nil)
	for i, e := range equations {
		residual.SetVec(i, e(f))
		for j, at := range free {
			up, down := f, f
			*at(&up) *= 1 + h
			*at(&down) *= 1 - h
			jacobian.Set(i, j, (e(up)-e(down))/(2*h))
		}
	}
	return jacobian, residual
}

func dampedStep(jacobian *mat.Dense, residual *mat.VecDense, damping float64) (*mat.VecDense, bool) {
	var normal mat.Dense
	normal.Mul(jacobian.T(), jacobian)
	n, _ := normal.Dims()
	for i := range n {
		normal.Set(i, i, normal.At(i, i)*(1+damping)+1e-15)
	}
	var right, step mat.VecDense
	right.MulVec(jacobian.T(), residual)
	right.ScaleVec(-1, &right)
	if err := step.SolveVec(&normal, &right); err != nil {
		if poor := mat.Condition(0); !errors.As(err, &poor) {
			return nil, false
		}
	}
	return &step, true
}

// determined reports whether the relations fix every free value: the smallest
// singular value of the Jacobian stands clear of zero.
func determined(f fitted, free []func(*fitted) *float64, equations []equation) bool {
	jacobian, _ := slopes(f, free, equations)
	var svd mat.SVD
	if !svd.Factorize(jacobian, mat.SVDNone) {
		return false
	}
	values := svd.Values(nil)
	return len(values) == len(free) && values[len(values)-1] > 1e-4*values[0]
}
