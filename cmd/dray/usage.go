package main

import (
	"errors"
	"strings"

	"example.org/dray/internal/edits"
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// unknownCommand answers a word that is no command.
func unknownCommand(root *cobra.Command, word string) error {
	err := wrongInput("unknown command %q", word)
	var names []string
	for _, c := range root.Commands() {
		if c.IsAvailableCommand() && c.Name() != "completion" {
			names = append(names, c.Name())
		}
	}
	if near := nearest(word, names); near != "" {
		return err.hint("did you mean %q?", near)
	}
	return err.hint("the commands are %s", strings.Join(names, ", "))
}

// wrongFlag answers a flag that does not exist or has a wrong value.
func wrongFlag(cmd *cobra.Command, err error) error {
	wrong := wrongInput("%s", lowered(err.Error()))
	var unknown *pflag.NotExistError
	if errors.As(err, &unknown) {
		var names []string
		cmd.Flags().VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
		if near := nearest(unknown.GetSpecifiedName(), names); near != "" {
			return wrong.hint("did you mean --%s?", near)
		}
	}
	return wrong.hint("dray %s --help lists the flags", strings.TrimPrefix(cmd.Name(), "dray "))
}

func lowered(text string) string {
	if text == "" {
		return text
	}
	return strings.ToLower(text[:1]) + text[1:]
}

// takes makes a rule for the arguments, named as the usage line names them; a
// last name with … stands for one or more.
func takes(names ...string) cobra.PositionalArgs {
	many := len(names) > 0 && strings.HasSuffix(names[len(names)-1], "…")
	return func(cmd *cobra.Command, args []string) error {
		if len(args) == len(names) || many && len(args) > len(names) {
			return nil
		}
		if len(args) < len(names) {
			return wrongInput("%s needs %s", cmd.Name(), strings.Join(names[len(args):], " and ")).
				hint("usage: dray %s", cmd.Use)
		}
		return wrongInput("%s does not take %q", cmd.Name(), args[len(names)]).hint("usage: dray %s", cmd.Use)
	}
}

// nearest returns the name with the smallest edit distance to word, empty when
// none is near enough to be what was meant.
func nearest(word string, names []string) string {
	if len(word) > 40 {
		return ""
	}
	best, least := "", max(2, len(word)*2/5)+1
	for _, name := range names {
		if d := edits.Distance(word, name); d < least {
			best, least = name, d
		}
	}
	return best
}
