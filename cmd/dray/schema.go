package main

import (
	"fmt"
	"strings"

	"example.org/dray/loadcases"
	"github.com/spf13/cobra"
)

func (s *session) schemaCommand() *cobra.Command {
	return &cobra.Command{
		Use:     "schema",
		Short:   "print the JSON Schema of the case file, for editors",
		Example: "  dray schema > case.schema.json",
		Args:    takes(),
		RunE: func(*cobra.Command, []string) error {
			schema, err := loadcases.Schema()
			if err != nil {
				return fmt.Errorf("cannot write the schema: %w", err)
			}
			fmt.Fprintln(s.stdout, strings.TrimRight(string(schema), "\n"))
			return nil
		},
	}
}
