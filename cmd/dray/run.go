package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"runtime/debug"
	"strings"

	"github.com/spf13/cobra"
)

// Exit codes.
const (
	exitDone        = 0
	exitVerdict     = 1 // the answer is no
	exitInput       = 2 // usage or input error; nothing on stdout
	exitFault       = 3 // a mistake in dray, or an answer that could not be written
	exitInterrupted = 130
)

// verdictError ends a command whose answer, already written, is no.
type verdictError struct{}

func (verdictError) Error() string { return "the answer is no" }

// inputError is a mistake in what the user gave. Text may have several lines,
// each a message of its own unless it is indented.
type inputError struct {
	text  string
	hints []string
}

func (e *inputError) Error() string { return e.text }

func wrongInput(format string, args ...any) *inputError {
	return &inputError{text: fmt.Sprintf(format, args...)}
}

func (e *inputError) hint(format string, args ...any) *inputError {
	e.hints = append(e.hints, fmt.Sprintf(format, args...))
	return e
}

// session is what the commands share: where to read and write. Stdout is
// buffered, so that a failure leaves nothing half written.
type session struct {
	stdin  io.Reader
	stdout *bytes.Buffer
	screen io.Writer // the real stdout, asked only for its width and colour
	stderr io.Writer
	quiet  bool
}

// run executes one command line and returns its exit code.
func run(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer) (code int) {
	s := &session{stdin: stdin, stdout: &bytes.Buffer{}, screen: stdout, stderr: stderr}
	defer func() {
		if p := recover(); p != nil {
			s.say("internal fault", fmt.Sprint(p))
			s.hint("this is a mistake in dray, not in your files; please report it with the case and the lines below")
			fmt.Fprintln(stderr, strings.TrimSpace(string(debug.Stack())))
			code = exitFault
		}
	}()
	root := s.command()
	root.SetArgs(args)
	root.SetIn(stdin)
	root.SetOut(s.stdout)
	root.SetErr(stderr)
	err := root.ExecuteContext(ctx)
	code = s.conclude(ctx, err)
	if code == exitDone || code == exitVerdict {
		if _, err := stdout.Write(s.stdout.Bytes()); err != nil {
			s.say("error", "cannot write the answer: "+err.Error())
			return exitFault
		}
	}
	return code
}

// conclude tells the user what went wrong and chooses the exit code.
func (s *session) conclude(ctx context.Context, err error) int {
	var verdict verdictError
	var input *inputError
	switch {
	case err == nil:
		return exitDone
	case errors.As(err, &verdict):
		return exitVerdict
	case errors.As(err, &input):
		s.say("error", input.text)
		for _, h := range input.hints {
			s.hint(h)
		}
		return exitInput
	case ctx.Err() != nil || errors.Is(err, context.Canceled):
		s.say("error", "interrupted; nothing was written")
		return exitInterrupted
	default:
		s.say("error", err.Error())
		return exitInput
	}
}

// say writes a message to stderr. A line that starts with blanks belongs to
// the one before it.
func (s *session) say(kind, text string) {
	for line := range strings.SplitSeq(strings.TrimRight(text, "\n"), "\n") {
		if strings.HasPrefix(line, " ") || line == "" {
			fmt.Fprintln(s.stderr, line)
			continue
		}
		fmt.Fprintf(s.stderr, "dray: %s: %s\n", kind, line)
	}
}

func (s *session) hint(text string) { s.say("hint", text) }

// note says what is worth knowing but no error; --quiet drops it.
func (s *session) note(text string) {
	if !s.quiet {
		s.say("note", text)
	}
}

// command builds the command tree.
func (s *session) command() *cobra.Command {
	root := &cobra.Command{
		Use:   "dray",
		Short: "size the drive of a small geared machine",
		Long: "dray ranks every motor, gear train, battery and controller of your catalogs against\n" +
			"one load case, and says for each what gives first and by how much.",
		Example:       "  dray new cart\n  dray rank cart/case.yaml\n  dray check cart/case.yaml 1",
		Version:       version(),
		SilenceErrors: true,
		SilenceUsage:  true,
		Args:          cobra.ArbitraryArgs,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) > 0 {
				return unknownCommand(cmd, args[0])
			}
			return cmd.Help()
		},
	}
	root.SetVersionTemplate("{{.Version}}\n")
	root.SetFlagErrorFunc(wrongFlag)
	root.AddCommand(s.rankCommand(), s.checkCommand(), s.lintCommand(), s.newCommand(), s.schemaCommand(), s.versionCommand())
	root.AddCommand(s.explainCommand(), s.compareCommand())
	root.AddCommand(s.spreadCommand(), s.ratiosCommand(), s.headroomCommand())
	root.AddCommand(s.reportCommand(), s.figureCommand())
	return root
}
