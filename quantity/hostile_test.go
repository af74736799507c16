package quantity

import (
	"fmt"
	"runtime"
	"strings"
	"testing"
	"time"
)

// hostile are cells that want to hurt the reader.
func hostile() map[string]string {
	return map[string]string{
		"nan": "NaN V", "inf": "Inf N·m", "minus inf": "-infinity kg", "nan alone": "nan", "overflow": "1e999 m", "largest": "1e308 km", "largest negative": "-1e308 lb·ft",
		"tiny": "1e-400 A", "hex": "0x1p1023 V", "nul": "12\x00V", "only nuls": strings.Repeat("\x00", 4096), "bad utf-8": "\xff\xfe12 V\xc0\xaf", "surrogate": "12\xed\xa0\x80 V",
		"long digits": strings.Repeat("9", 1<<20) + " V", "long fraction": "0." + strings.Repeat("0", 1<<20) + "1 V", "long unit": "1 " + strings.Repeat("m", 1<<20), "long word": strings.Repeat("x", 1<<20),
		"long spaces": strings.Repeat(" ", 1<<20) + "1 V", "deep brackets": strings.Repeat("(", 1<<18) + "1" + strings.Repeat(")", 1<<18), "open brackets": strings.Repeat("[", 1<<18),
		"many products": "1" + strings.Repeat("×2", 1<<17), "many quotients": "1" + strings.Repeat("/1", 1<<17), "many units": "1 " + strings.Repeat("N·", 1<<17) + "m", "many ranges": strings.Repeat("1-", 1<<17) + "1 V",
		"many signs": strings.Repeat("-", 1<<18) + "1 V", "many exponents": "1" + strings.Repeat("e1", 1<<17), "ratio of zeros": "0:0", "division by zero": "1/0 in", "zero to one": "0:1", "separators": strings.Repeat("1,", 1<<17) + "1",
		"combining": "1 V" + strings.Repeat("\u0301", 1<<17), "right to left": "\u202e12 V", "byte order mark": strings.Repeat("\ufeff", 1024) + "1 V", "line breaks": strings.Repeat("1 V\r\n", 1<<16),
	}
}

// A reading of any text ends soon, in little memory, in a value that is finite
// or in a short message.
func TestHostileTextIsReadOrRefusedAtOnce(t *testing.T) {
	for name, text := range hostile() {
		t.Run(name, func(t *testing.T) {
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			began := time.Now()
			for k := range kindCount + 1 {
				for _, o := range []Options{{}, {Decimal: DecimalComma, DefaultUnit: "m"}} {
					checkSane(t, k, text, o)
					if _, err := ParseWith(k, text, o); err != nil && len(err.Error()) > 1000 {
						t.Fatalf("%v: a message of %d bytes", k, len(err.Error()))
					}
				}
			}
			if _, err := ParseGauge(text); err != nil && len(err.Error()) > 1000 {
				t.Fatalf("gauge: a message of %d bytes", len(err.Error()))
			}
			runtime.ReadMemStats(&after)
			readings := uint64(4*(kindCount+1) + 1)
			if each := (after.TotalAlloc - before.TotalAlloc) / readings; each > 32*uint64(len(text))+1<<16 {
				t.Errorf("%d bytes taken for a text of %d", each, len(text))
			}
			if took := time.Since(began); took > 20*time.Second {
				t.Errorf("took %v", took)
			}
		})
	}
	if _, err := Parse(KindVoltage, "NaN V"); err == nil {
		t.Error("NaN is a voltage")
	}
	if v, err := Parse(KindLength, "1e308 km"); err == nil {
		t.Error(fmt.Sprint("1e308 km overflows and is read as ", v))
	}
}
