package rating

import (
	"fmt"
	"math"
	"slices"
)

// Jam is n like motors on one supply whose outputs are held fast at full
// command. One motor jammed alone is the same with Motors 1 and what the
// others draw taken off Bus and put into Aux by the caller. The impact of the
// rotor against the stop is not in it.
type Jam struct {
	Bus      float64 // V at full charge, less Aux·Supply: what the motors' current starts from
	Supply   float64 // Ω, pack and supply lead
	Aux      float64 // A, drawn from the pack besides the motors
	Path     float64 // Ω per motor beside its winding: lead + Parallel·Ron
	Drop     float64 // V across a bridge
	DutyMax  float64 // 0 means 1
	Motors   int     // jammed; 0 means 1
	Parallel int     // motors on one controller channel; 0 means 1

	Holds      float64   // A, a source that lets its voltage fall rather than give more; 0 none
	Cuts       float64   // A, beyond which a source cuts off at once; 0 never
	Limit      float64   // A, current limit of a channel; 0 none
	Controller Withstand // of a channel; zero: not known
	Warm       float64   // A², the controller's memory when the jam begins
	Trips      bool      // the controller cuts off at the latest when it has had what it stands; else that is damage and protects nothing
	Fuse       *Fuse     // in the supply lead; nil none

	Heat             MotorHeat // zero: not known
	Winding, Housing float64   // °C when the jam begins
	ResistanceCold   float64   // Ω of a winding whose heat is not known; not used when Heat is known

	Brief bool // times and torques only: no events, no reason, no verdict

	GearPeak float64 // N·m the gear train stands for a moment, at its output; 0 not known
	GearGain float64 // N·η
	Constant float64 // N·m/A, of the motor as warm as it is
	Friction float64 // N·m, Tf
}

// JamEvent is something that gives up, or acts, after the jam began.
type JamEvent struct {
	After float64 // s
	What  string
}

// JamResult is the course of a jam. Each event is timed as if no other had
// ended it, so that the order shows what comes first.
type JamResult struct {
	Current float64 // A per motor, at the start
	Battery float64 // A from the pack, at the start
	Voltage float64 // V of the bus, at the start
	Torque  float64 // N·m at the output of each gear train, at the start
	Limited bool    // the current limit acts
	Cut     bool    // the source cuts off at once
	Warmest float64 // °C the winding reaches while the jam is followed (at most 1000); NaN not known
	Events  []JamEvent

	// Times in s; +Inf never, within Horizon.
	FuseEarliest, FuseLatest, WindingLimit, ControllerLimit float64
	GearHolds                                               bool // true as well when its limit is not known

	Protected bool
	Reason    string // why it is or is not
}

// Horizon is how long a jam is followed, in s: two hours.
const Horizon = 7200.0

// tooHot ends the march: beyond it the winding is gone, °C.
const tooHot = 1000.0

// Run follows the jam. The current falls as the windings heat (R(T)), so it
// is marched in short steps, each exact for its mean current; a fuse opens when the
// sum of dt/(opening time at the current of that moment) reaches one, a
// convention that agrees with the gates at a steady current.
//
// Protected means: the gear train stands the torque, and either an
// interruption (fuse at its latest, or a controller that trips) precedes the
// winding limit, or the winding never reaches it. An unknown winding is
// protected by nothing.
func (j Jam) Run() JamResult {
	j.defaults()
	r := JamResult{FuseEarliest: math.Inf(1), FuseLatest: math.Inf(1), WindingLimit: math.Inf(1),
		ControllerLimit: math.Inf(1), Warmest: math.NaN(), GearHolds: true}
	var ib, bus float64
	r.Current, ib, bus, r.Limited = j.flow(j.resistance(j.Winding))
	r.Battery, r.Voltage = ib, bus
	r.Cut = j.Cuts > 0 && ib > j.Cuts
	r.Torque = math.Max(0, j.GearGain*(j.Constant*r.Current-j.Friction))
	r.GearHolds = !(j.GearPeak > 0) || r.Torque <= j.GearPeak
	j.march(&r)
	if !j.Brief {
		r.tell(&j)
		r.judge(&j)
	}
	return r
}

func (j *Jam) defaults() {
	j.Motors, j.Parallel = max(1, j.Motors), max(1, j.Parallel)
	if !(j.DutyMax > 0) {
		j.DutyMax = 1
	}
}

func (j *Jam) resistance(tw float64) float64 {
	if j.Heat.Resistance > 0 {
		return j.Heat.At(tw)
	}
	return j.ResistanceCold
}

// flow returns, with windings of r Ω, the current per motor, that of the pack
// and the bus voltage; the duty is full, or what the current limit leaves:
// d = 2·Vreq/(b + √(b² − 4·n·I·Rt·Vreq)). A source that holds its amps gives
// (Holds − Aux)/(n·d_max) to each motor.
func (j *Jam) flow(r float64) (i, ib, bus float64, limited bool) {
	n, b := float64(j.Motors), j.Bus
	sum := r + j.Path
	duty := func(i float64) float64 {
		need := i*sum + j.Drop
		return 2 * need / (b + math.Sqrt(math.Max(0, b*b-4*n*i*j.Supply*need)))
	}
	d := j.DutyMax
	i = math.Max(0, (d*b-j.Drop)/(sum+d*d*n*j.Supply))
	if most := j.Limit / float64(j.Parallel); j.Limit > 0 && i > most {
		i, d, limited = most, duty(most), true
	}
	ib = n * d * i
	if spare := j.Holds - j.Aux; j.Holds > 0 && ib > spare {
		// The bus falls until full command draws no more than is held.
		d = j.DutyMax
		i = math.Max(0, spare/(n*d))
		return i, j.Holds, (i*sum + j.Drop) / d, false
	}
	return i, ib + j.Aux, b - ib*j.Supply, limited
}

// jamState is what a jam has done so far.
type jamState struct {
	t, tw, th   float64 // s, °C, °C
	early, late float64 // share of the fuse's opening used up, by its shortest and longest time
	memory      float64 // A², the controller's
	lumps       lumps
}

// march runs the time, each step an eighth of the time gone by,
// within 0.1 % of steps fifty times as fine, until
// nothing is left that could happen.
func (j *Jam) march(r *JamResult) {
	s := jamState{tw: j.Winding, th: j.Housing, memory: j.Warm}
	if j.Heat.Known() {
		r.Warmest = s.tw
		if s.tw >= j.Heat.Limit {
			r.WindingLimit = 0
		}
	}
	if i, _, _, _ := j.flow(j.resistance(s.tw)); j.beyondPeak(i) {
		r.ControllerLimit = 0
	}
	for s.t < Horizon && s.tw < tooHot && !r.over(j) {
		before := s
		j.step(&s, math.Min(1e-4+s.t/8, Horizon-s.t))
		r.cross(j, &before, &s)
	}
}

// over reports whether everything that can happen has.
func (r *JamResult) over(j *Jam) bool {
	done := func(at float64) bool { return !math.IsInf(at, 1) }
	return (j.Fuse == nil || done(r.FuseLatest)) && (j.Controller.Tau == 0 || done(r.ControllerLimit)) &&
		(!j.Heat.Known() || done(r.WindingLimit))
}

// beyondPeak reports whether a current per motor is more than a channel
// stands for any time.
func (j *Jam) beyondPeak(i float64) bool {
	c := j.Controller
	i *= float64(j.Parallel)
	if c.Tau > 0 {
		return c.Peak > 0 && i > c.Peak
	}
	return c.Continuous > 0 && i > c.Continuous
}

// step goes dt on: once with the current at its start to learn the one at its
// end, then with the mean of their squares.
func (j *Jam) step(s *jamState, dt float64) {
	i1, b1, _, _ := j.flow(j.resistance(s.tw))
	i, ib := i1, b1
	if j.Heat.Known() {
		s.lumps.set(j.Heat, i1*i1)
		tw, _ := s.lumps.after(s.tw, s.th, j.Heat.Air, dt)
		i2, b2, _, _ := j.flow(j.resistance(math.Min(tw, tooHot)))
		i, ib = math.Sqrt((i1*i1+i2*i2)/2), (b1+b2)/2
		s.lumps.set(j.Heat, i*i)
		s.tw, s.th = s.lumps.after(s.tw, s.th, j.Heat.Air, dt)
	}
	if j.Fuse != nil {
		long, _ := j.Fuse.Longest(ib)
		s.early += dt / j.Fuse.Shortest(ib)
		s.late += dt / long
	}
	if c := j.Controller; c.Tau > 0 {
		i *= float64(j.Parallel)
		s.memory += (i*i - s.memory) * oneMinusExp(dt/c.Tau)
	}
	s.t += dt
}

// cross notes what was reached between two states, straight between them.
func (r *JamResult) cross(j *Jam, a, b *jamState) {
	note := func(at *float64, x, y, limit float64) {
		if math.IsInf(*at, 1) && y >= limit {
			*at = a.t
			if y > x && x < limit {
				*at += (b.t - a.t) * (limit - x) / (y - x)
			}
		}
	}
	note(&r.FuseEarliest, a.early, b.early, 1)
	note(&r.FuseLatest, a.late, b.late, 1)
	if c := j.Controller; c.Tau > 0 {
		note(&r.ControllerLimit, a.memory, b.memory, c.Continuous*c.Continuous)
	}
	if j.Heat.Known() {
		note(&r.WindingLimit, a.tw, b.tw, j.Heat.Limit)
		r.Warmest = math.Max(r.Warmest, math.Min(b.tw, tooHot))
	}
}

// tell writes the events in order of time.
func (r *JamResult) tell(j *Jam) {
	add := func(at float64, format string, args ...any) {
		if !math.IsInf(at, 1) {
			r.Events = append(r.Events, JamEvent{at, fmt.Sprintf(format, args...)})
		}
	}
	if r.Limited {
		add(0, "the current limit holds %.3g A per motor", r.Current)
	}
	if !r.GearHolds {
		add(0, "the gear train is past its momentary torque (%.3g of %.3g N·m)", r.Torque, j.GearPeak)
	}
	if r.Cut {
		add(0, "the source cuts off (%.3g of %.3g A)", r.Battery, j.Cuts)
	}
	if j.Trips {
		add(r.ControllerLimit, "the controller trips")
	} else {
		add(r.ControllerLimit, "the controller is past what it stands (%.3g A per channel)", r.Current*float64(j.Parallel))
	}
	add(r.FuseEarliest, "the fuse opens at its earliest")
	add(r.WindingLimit, "the winding reaches its limit of %.3g °C", j.Heat.Limit)
	add(r.FuseLatest, "the fuse has opened at its latest")
	slices.SortStableFunc(r.Events, func(a, b JamEvent) int {
		switch {
		case a.After < b.After:
			return -1
		case a.After > b.After:
			return 1
		}
		return 0
	})
}

// judge decides whether the jam is survived.
func (r *JamResult) judge(j *Jam) {
	off, by := r.FuseLatest, "the fuse at its latest"
	if j.Trips && r.ControllerLimit < off {
		off, by = r.ControllerLimit, "the controller's trip"
	}
	if r.Cut {
		off, by = 0, "the source, which cuts off at once,"
	}
	switch {
	case !r.GearHolds:
		r.Reason = fmt.Sprintf("the gear train is past its momentary torque at once (%.3g of %.3g N·m)", r.Torque, j.GearPeak)
	case !j.Heat.Known():
		r.Reason = "how warm the winding gets is not known"
	case math.IsInf(r.WindingLimit, 1):
		r.Protected = true
		r.Reason = fmt.Sprintf("the winding stays at %.3g °C or below, within its limit of %.3g °C", r.Warmest, j.Heat.Limit)
	case off < r.WindingLimit:
		r.Protected = true
		r.Reason = fmt.Sprintf("%s (%s) comes before the winding limit (%s)", by, seconds(off), seconds(r.WindingLimit))
	case math.IsInf(off, 1):
		r.Reason = fmt.Sprintf("nothing ends it before the winding reaches its limit after %s", seconds(r.WindingLimit))
	default:
		r.Reason = fmt.Sprintf("the winding reaches its limit after %s, before %s (%s)", seconds(r.WindingLimit), by, seconds(off))
	}
}
