package catalog

import (
	"fmt"
	"math"

	"example.org/dray/quantity"
)

// Thresholds of the tests a row is put to.
const (
	grossImpossible = 1.05 // the model: above it a row contradicts physics
	grossLow        = 0.3
	shaftSideBand   = 0.15 // share by which a figure may miss N or 1/N and be called near
	listedBand      = 0.03 // real sheets agree with themselves to 2–3 % only
	bareStallBand   = 0.05
	ratedBand       = 0.15
	conventionBand  = 0.01
)

func (c *constants) remark(level Level, field, format string, args ...any) {
	c.remarks = append(c.remarks, remark{level, field, fmt.Sprintf(format, args...)})
}

// judgeRow puts the row to every test that its own figures allow.
func (c *constants) judgeRow(l *listing) {
	v, r, k, i0 := float64(l.voltage.Value), float64(c.resistance.Value), float64(c.k.Value), float64(c.current.Value)
	if !(k > 0) || !(r > 0) || math.IsInf(k, 0) || math.IsInf(r, 0) {
		c.remark(Impossible, "no_load_current", "the no-load current times the winding resistance eats the whole voltage (I0·R = %.3g V of %.3g V): left out", i0*r, v)
		return
	}
	if c.stall.Known() && i0 >= float64(c.stall.Value) {
		c.remark(Impossible, "no_load_current", "the no-load current of %.3g A is not below the stall current of %.3g A: left out", i0, float64(c.stall.Value))
		return
	}
	c.judgeStall(l)
	c.judgeListed(l)
	c.judgeEfficiency(l)
	c.judgeRated(l)
	is := float64(c.stall.Value)
	if c.stall.Known() && i0 > 0.25*is {
		c.remark(Warning, "no_load_current", "the no-load current is %.0f %% of the stall current (usual is 2 to 10 %%): swapped, or a brake on", 100*i0/is)
	}
	if l.ratedCurrent.Known() && i0 > 0.3*float64(l.ratedCurrent.Value) {
		c.remark(Warning, "no_load_current", "the no-load current is %.0f %% of the rated current: suspicious; a brake dragging, or the sum of two motors", 100*i0/float64(l.ratedCurrent.Value))
	}
}

// lossless is the inferred gear efficiency from which a sheet is doubted: one
// spur stage of a small gearhead loses a tenth (common practice).
const lossless = 0.97

// judgeStall forms the gross figure Ts/(N·k·Is), the best lie detector a row has.
func (c *constants) judgeStall(l *listing) {
	if !l.torque.Known() || !c.stall.Known() {
		return
	}
	n, k := l.turns(), float64(c.k.Value)
	c.gross = float64(l.torque.Value) / (n * k * float64(c.stall.Value))
	convention := c.nameConvention(l)
	switch {
	case c.gross > grossImpossible:
		c.remark(Impossible, "stall_torque", "the stall torque is %.3g times what the current can give, N·k·Is%s%s: left out", c.gross, nearRatio(c.gross, l.ratio)+otherSide(c.gross, l.ratio), convention)
	case c.gross > 1+1e-6:
		c.remark(Warning, "stall_torque", "the stall torque is %.1f %% above what the current can give, N·k·Is: doubtful", 100*(c.gross-1))
	case c.gross < grossLow:
		c.remark(Warning, "stall_torque", "the stall torque is only %.2g of what the current can give, N·k·Is%s: doubtful", c.gross, nearRatio(1/c.gross, l.ratio))
	}
	if net := c.netStall(l); l.output && !l.bare && l.ratio > 2 && !l.efficiency.Known() && net > lossless && c.gross <= 1+1e-6 {
		c.remark(Note, "stall_torque", "the row shows gears of %.0f %% efficiency, better than small ones are (0.81 to 0.9 a stage is usual): torque comes out too good and current too low; list gear_efficiency", 100*net)
	}
	if convention != "" && c.gross <= grossImpossible {
		c.remark(Note, "stall_torque", "%s; the constants are those of (V − I0·R)/ω0", convention[2:])
	}
	if off := c.netStall(l) - 1; !l.output && c.gross <= grossImpossible && math.Abs(off) > bareStallBand && convention == "" {
		c.remark(Warning, "stall_torque", "the stall torque is %+.1f %% from k·(Is − I0) = %.3g N·m; the other figures are used", 100*off,
			k*float64(c.stall.Value-c.current.Value))
	}
}

// judgeEfficiency compares a listed gear efficiency with the one the stall
// torque shows; brushes and conventions lower that one, nothing raises it.
func (c *constants) judgeEfficiency(l *listing) {
	if l.bare || !l.output || !l.efficiency.Known() || !l.torque.Known() || !c.stall.Known() || c.gross > grossImpossible {
		return
	}
	if off := c.netStall(l); off > 1.1 || off < 0.6 {
		c.remark(Warning, "gear_efficiency", "the stall torque shows a gear efficiency of %.2g, not the listed %.2g, which is used", off*float64(l.efficiency.Value), float64(l.efficiency.Value))
	}
}

// netStall is the listed stall torque over the one the constants give.
func (c *constants) netStall(l *listing) float64 {
	return float64(l.torque.Value) / (l.turns() * c.through(l) * float64(c.k.Value) * float64(c.stall.Value-c.current.Value))
}

// through is the efficiency between the motor and the shaft of the listing,
// 1 unless it is listed.
func (c *constants) through(l *listing) float64 {
	if l.output && l.efficiency.Known() {
		return float64(l.efficiency.Value)
	}
	return 1
}

// nearRatio says so when a quotient is about the ratio.
func nearRatio(quotient, ratio float64) string {
	if ratio > 2 && math.Abs(quotient/ratio-1) <= shaftSideBand {
		return fmt.Sprintf(", near the ratio %.4g: a value on the wrong shaft side", ratio)
	}
	return ""
}

// otherSide says so when an impossible quotient would be a usual efficiency
// with one value moved to the other shaft.
func otherSide(quotient, ratio float64) string {
	if share := quotient / ratio; ratio > 2 && share >= grossLow && share < 1-shaftSideBand {
		return fmt.Sprintf(" (a usual %.2g with the ratio %.4g taken out: perhaps a value on the wrong shaft side)", share, ratio)
	}
	return ""
}

// nameConvention recognises the two other ways in which sheets give no-load
// speed (V/k) and stall torque (k·Is, gross of friction), by which residual
// vanishes, and names it in the note of the constant. It can tell only where
// the stall torque is redundant: a bare motor, or a listed efficiency.
func (c *constants) nameConvention(l *listing) string {
	if l.output && !l.efficiency.Known() || !l.speed.Known() || c.current.Value <= 0 || l.stall.Basis != quantity.Listed {
		return ""
	}
	near := func(x float64) bool { return math.Abs(x-1) <= conventionBand }
	kV := float64(l.voltage.Value) / (float64(l.speed.Value) * l.turns()) // k if ω0 = V/k
	fromTorque := float64(l.torque.Value) / (l.turns() * c.through(l) * float64(c.stall.Value))
	var named string
	speedTold := l.torqueK.Known() && near(float64(l.torqueK.Value)/kV) && !near(float64(l.torqueK.Value)/float64(c.k.Value))
	switch net := c.netStall(l); {
	case near(net) || near(float64(c.k.Value)/kV):
		return ""
	case near(fromTorque / kV):
		named = "the row gives the no-load speed as V/k and the stall torque gross, k·Is"
	case near(fromTorque/float64(c.k.Value)) && speedTold:
		named = "the row gives the no-load speed as V/k, the I0·R drop ignored"
	case near(fromTorque / float64(c.k.Value)):
		named = "the row gives the stall torque gross, k·Is, or the no-load speed as V/k (the two cannot be told apart)"
	case speedTold:
		named = "the row gives the no-load speed as V/k, the I0·R drop ignored"
	default:
		return ""
	}
	c.k.Note = joinNotes(c.k.Note, named)
	return "; " + named
}

// judgeListed compares listed constants with those the five basics gave.
func (c *constants) judgeListed(l *listing) {
	compare := func(field string, listed, used float64, unit, how string) {
		if off := listed/used - 1; math.Abs(off) > listedBand {
			c.remark(Warning, field, "%s of %.4g %s is %+.1f %% from %.4g %s by %s, which is used%s", field, listed, unit, 100*off, used, unit, how,
				nearRatio(max(listed/used, used/listed), l.ratio))
		}
	}
	if l.resistance.Known() && c.resistance != l.resistance {
		compare("resistance", float64(l.resistance.Value), float64(c.resistance.Value), "Ω", c.resistance.Note)
	}
	if l.torqueK.Known() && c.k != l.torqueK {
		compare("torque_constant", float64(l.torqueK.Value), float64(c.k.Value), "N·m/A", c.k.Note)
	}
	if l.speedK.Known() && c.k.Note != "one over the listed speed constant" {
		compare("speed_constant", l.speedK.Value*30/math.Pi, 30/math.Pi/float64(c.k.Value), "rpm/V", "the motor constant")
	}
}

// judgeRated compares the rated point with the line of the constants.
func (c *constants) judgeRated(l *listing) {
	t, i, w := l.ratedTorque, l.ratedCurrent, l.ratedSpeed
	if t.Known() && l.torque.Known() && t.Value > l.torque.Value/2 {
		c.remark(Warning, "rated_torque", "the rated torque is %.0f %% of the stall torque: probably the stall or the gear limit, not what it can keep up", 100*float64(t.Value/l.torque.Value))
	}
	if t.Known() && w.Known() && l.torque.Known() && l.speed.Known() {
		power, most := float64(t.Value)*float64(w.Value), float64(l.torque.Value)*float64(l.speed.Value)/4
		if power > most*1.02 {
			c.remark(Warning, "rated_torque", "the rated point gives %.3g W, more than the %.3g W the motor can ever give (Ts·ω0/4)", power, most)
		}
	}
	if i.Known() && c.stall.Known() && i.Value > c.stall.Value {
		c.remark(Warning, "rated_current", "the rated current is above the stall current")
	}
	if t.Known() && i.Known() && i.Value > c.current.Value {
		line := float64(c.current.Value) + float64(t.Value)/(l.turns()*c.toShaft(l)*float64(c.k.Value))
		if off := float64(i.Value)/line - 1; math.Abs(off) > ratedBand {
			c.remark(Warning, "rated_current", "the rated current is %+.0f %% from the %.3g A that the rated torque needs by the constants", 100*off, line)
		}
	}
	if i.Known() && w.Known() {
		line := (float64(l.voltage.Value) - float64(i.Value)*float64(c.resistance.Value)) / (float64(c.k.Value) * l.turns())
		if off := float64(w.Value)/line - 1; line <= 0 || math.Abs(off) > ratedBand {
			c.remark(Warning, "rated_speed", "the rated speed does not lie on the line: at the rated current it gives %.0f rpm", line*30/math.Pi)
		}
	}
}

// toShaft is the efficiency in use between motor and the shaft of the listing.
func (c *constants) toShaft(l *listing) float64 {
	if l.output && !l.bare {
		return float64(c.efficiency.Value)
	}
	return 1
}

func joinNotes(a, b string) string {
	if a == "" || b == "" {
		return a + b
	}
	return a + "; " + b
}
