package catalog

import (
	"errors"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "write the expected messages anew")

// badFiles puts one file among the catalogs its name says it is.
func badFiles(path string, data []byte) Files {
	csv := []CSV{{Name: filepath.Base(path), Data: data}}
	f := Files{Open: func(name string) ([]byte, error) {
		data, err := os.ReadFile(filepath.Join(filepath.Dir(path), name))
		if err != nil {
			return nil, errors.New("no such file")
		}
		return data, nil
	}}
	switch base := filepath.Base(path); {
	case strings.HasPrefix(base, "motors"):
		f.Motors = csv
	case strings.HasPrefix(base, "gear-trains"):
		f.GearTrains = csv
	case strings.HasPrefix(base, "batteries"):
		f.Batteries = csv
	default:
		f.Controllers = csv
	}
	return f
}

func TestEveryMistakeHasItsMessage(t *testing.T) {
	paths, err := filepath.Glob("../testdata/bad-catalogs/*.csv")
	if err != nil || len(paths) == 0 {
		t.Fatal("no bad catalogs found", err)
	}
	for _, path := range paths {
		base := filepath.Base(path)
		if strings.HasPrefix(base, "ocv") {
			continue // read through the battery file that names it
		}
		t.Run(base, func(t *testing.T) {
			data, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			_, err = Read(badFiles(path, data))
			var faults *Faults
			if !errors.As(err, &faults) {
				t.Fatalf("want faults, got %v", err)
			}
			golden := strings.TrimSuffix(path, ".csv") + ".txt"
			got := err.Error() + "\n"
			if *update {
				if err := os.WriteFile(golden, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(golden)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(string(want), got); diff != "" {
				t.Errorf("message differs (-want +got):\n%s", diff)
			}
		})
	}
}
