package main

import (
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"
)

// starter holds the files of a first case; every number in them is invented.
//
//go:embed starter
var starter embed.FS

func (s *session) newCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "new DIR",
		Short: "write a starter case with small catalogs to change",
		Long: "Writes a commented case and four small catalogs of invented data into DIR, made if need be.\n" +
			"Nothing is overwritten.",
		Example: "  dray new cart && dray rank cart/case.yaml",
		Args:    takes("DIR"),
		RunE: func(_ *cobra.Command, args []string) error {
			names, err := writeStarter(args[0])
			if err != nil {
				return err
			}
			for _, name := range names {
				fmt.Fprintln(s.stdout, name)
			}
			s.hint("next: dray rank " + filepath.Join(args[0], "case.yaml"))
			return nil
		},
	}
}

// writeStarter writes the starter files and returns their paths. When one of
// them exists already, none is written.
func writeStarter(dir string) ([]string, error) {
	entries, err := starter.ReadDir("starter")
	if err != nil {
		return nil, err
	}
	names := make([]string, len(entries))
	for i, e := range entries {
		names[i] = filepath.Join(dir, e.Name())
		if _, err := os.Lstat(names[i]); err == nil {
			return nil, wrongInput("%s exists already, and nothing is overwritten", names[i]).hint("name another folder")
		} else if !errors.Is(err, fs.ErrNotExist) {
			return nil, wrongInput("%v", plainly(names[i], err))
		}
	}
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return nil, wrongInput("cannot make %s: %v", dir, err)
	}
	for i, e := range entries {
		data, err := starter.ReadFile("starter/" + e.Name())
		if err != nil {
			return nil, err
		}
		if err := writeNew(names[i], data); err != nil {
			return nil, wrongInput("cannot write %s: %v", names[i], err)
		}
	}
	return names, nil
}

// writeNew writes a file that must not exist; a half-written one is removed.
func writeNew(name string, data []byte) error {
	file, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	_, err = file.Write(data)
	if err := errors.Join(err, file.Close()); err != nil {
		return errors.Join(err, os.Remove(name))
	}
	return nil
}
