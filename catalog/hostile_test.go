package catalog

import (
	"math"
	"reflect"
	"runtime"
	"strings"
	"testing"
	"time"
)

const hostileHeader = "id,nominal_voltage,no_load_speed,no_load_current,stall_torque,stall_current,ratio\n"

// hostileRows are rows whose cells want to hurt what is computed from them.
func hostileRows() []string {
	return []string{
		"a,NaN,300,0.25,1.3,5.5,19:1\n", "a,Inf,300,0.25,1.3,5.5,19:1\n", "a,12,-Inf,0.25,1.3,5.5,19:1\n", "a,12,300,nan,1.3,5.5,19:1\n",
		"a,1e308,1e308,1e308,1e308,1e308,1e308\n", "a,1e308,300,0.25,1.3,5.5,19:1\n", "a,12,1e308,0.25,1.3,5.5,19:1\n", "a,12,300,0.25,1e308,5.5,19:1\n", "a,12,300,0.25,1.3,1e308,19:1\n",
		"a,12,300,1e-308,1.3,1e-308,19:1\n", "a,1e-308,300,0,1.3,5.5,19:1\n", "a,12,300,0.25,1.3,5.5,1e308:1\n", "a,12,300,0.25,1.3,5.5,1:1e308\n", "a,12,300,0.25,1.3,5.5,0:0\n",
		"a,0,0,0,0,0,0\n", "a,-12,-300,-0.25,-1.3,-5.5,-19\n", "a\x00b,12,300,0.25,1.3,5.5,19:1\n", "a,12\x00,300,0.25,1.3,5.5,19:1\n", "\x00\x00\x00\n", "a,12,300,12,1.3,5.5,19:1\n",
		"a,12,300,0.25,1.3,5.5," + strings.Repeat("19;", 2000) + "\n", strings.Repeat("a", 70_000) + ",12,300,0.25,1.3,5.5,19:1\n", "../../a b$(c),12,300,0.25,1.3,5.5,19:1\n", "=cmd|'/c calc',12,300,0.25,1.3,5.5,19\n",
		"a,\"12\n\n\n\",300,0.25,1.3,5.5,19:1\n", "a,12,300\n", "a,12,300,0.25,1.3,5.5,19:1,,,,,,,,,\n", "٣,12,300,0.25,1.3,5.5,19:1\n",
	}
}

// Whatever a row says, the motors that come of it have finite constants.
func TestHostileRowsLeaveNoNumberThatIsNone(t *testing.T) {
	for _, row := range hostileRows() {
		c, err := Read(Files{Motors: []CSV{{"hostile.csv", []byte(hostileHeader + row)}}})
		if err != nil {
			if len(err.Error()) > 5000 {
				t.Errorf("%.60q: a message of %d bytes", row, len(err.Error()))
			}
			continue
		}
		for i := range c.Motors {
			m := c.Motors[i]
			m.GrossStallQuotient = 0 // NaN where it cannot be formed
			if where := notFinite(reflect.ValueOf(m), "motor"); where != "" {
				t.Errorf("%.60q: %s", row, where)
			}
		}
	}
}

// notFinite finds a number in a value that is none.
func notFinite(v reflect.Value, path string) string {
	switch v.Kind() {
	case reflect.Float64:
		if x := v.Float(); math.IsNaN(x) || math.IsInf(x, 0) {
			return path
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if where := notFinite(v.Field(i), path+"."+v.Type().Field(i).Name); where != "" {
				return where
			}
		}
	case reflect.Slice:
		for i := range v.Len() {
			if where := notFinite(v.Index(i), path+"[]"); where != "" {
				return where
			}
		}
	}
	return ""
}

// Memory stays in proportion to the file.
func TestHostileFilesTakeLittleMemory(t *testing.T) {
	for name, text := range map[string]string{
		"a million columns":   hostileHeader + strings.Repeat("1,", 1_000_000) + "\n",
		"a wide header":       strings.Repeat("id,", 1_000_000) + "\n1\n",
		"a wide named header": hostileHeader[:len(hostileHeader)-1] + strings.Repeat(",column", 300_000) + "\n1\n",
		"one cell":            hostileHeader + strings.Repeat("9", 2_000_000),
		"zero bytes":          hostileHeader + strings.Repeat("\x00", 2_000_000),
		"line breaks":         hostileHeader + strings.Repeat("\n", 2_000_000),
		"carriage returns":    hostileHeader + strings.Repeat("\r", 2_000_000),
		"comments":            strings.Repeat("#\n", 1_000_000) + hostileHeader,
		"quotes":              hostileHeader + strings.Repeat("\"\"", 1_000_000),
		"open quote":          hostileHeader + "\"" + strings.Repeat("a\n", 1_000_000),
		"same id":             hostileHeader + strings.Repeat("a,12,300,0.25,1.3,5.5,19\n", 50_000),
		"ratio list":          hostileHeader + "a,12,300,0.25,1.3,5.5," + strings.Repeat("19;", 500_000) + "19\n",
		"tabs and semicolons": strings.Repeat(";\t,", 700_000),
	} {
		t.Run(name, func(t *testing.T) {
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			began := time.Now()
			_, err := Read(Files{Motors: []CSV{{"hostile.csv", []byte(text)}}})
			took := time.Since(began)
			runtime.ReadMemStats(&after)
			if err != nil && len(err.Error()) > 40_000 {
				t.Errorf("a message of %d bytes", len(err.Error()))
			}
			if taken := after.TotalAlloc - before.TotalAlloc; taken > 200*uint64(len(text))+8<<20 {
				t.Errorf("%d MB taken for a file of %d bytes", taken>>20, len(text))
			}
			if took > 20*time.Second {
				t.Errorf("took %v", took)
			}
		})
	}
}
