package explore

import (
	"fmt"
	"slices"

	"example.org/dray/sizing"
)

// NoSuchPart is the error of a part that no candidate of the field has.
type NoSuchPart struct {
	Kind, ID string
	Known    []string // the ids there are
}

func (e *NoSuchPart) Error() string { return fmt.Sprintf("no candidate has the %s %q", e.Kind, e.ID) }

// BestWith returns the best-ranked candidate of a field with a motor, by row id
// or by id@ratio, and with a battery and a controller; empty asks for none in
// particular. The error is a *NoSuchPart.
func BestWith(f *sizing.Field, motor, battery, controller string) (*sizing.Candidate, error) {
	isMotor := func(c *sizing.Candidate) bool { return c.Motor.ID == motor || c.Motor.Row == motor }
	isBattery := func(c *sizing.Candidate) bool {
		return battery == "" || c.Battery != nil && c.Battery.ID == battery
	}
	isController := func(c *sizing.Candidate) bool { return controller == "" || c.Controller.ID == controller }
	for i := range f.Candidates {
		if c := &f.Candidates[i]; isMotor(c) && isBattery(c) && isController(c) {
			return c, nil
		}
	}
	has := func(ok func(*sizing.Candidate) bool) bool {
		return slices.ContainsFunc(f.Candidates, func(c sizing.Candidate) bool { return ok(&c) })
	}
	switch {
	case !has(isMotor):
		return nil, noSuch(f, "motor", motor, func(c *sizing.Candidate) string { return c.Motor.Row })
	case !has(isBattery):
		return nil, noSuch(f, "battery", battery, func(c *sizing.Candidate) string {
			if c.Battery == nil {
				return "adapter"
			}
			return c.Battery.ID
		})
	}
	return nil, noSuch(f, "controller", controller, func(c *sizing.Candidate) string { return c.Controller.ID })
}

func noSuch(f *sizing.Field, kind, id string, name func(*sizing.Candidate) string) error {
	e := &NoSuchPart{Kind: kind, ID: id}
	for i := range f.Candidates {
		e.Known = append(e.Known, name(&f.Candidates[i]))
	}
	slices.Sort(e.Known)
	e.Known = slices.Compact(e.Known)
	return e
}
