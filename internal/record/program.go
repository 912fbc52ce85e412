package record

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
)

// Exit statuses of the programs that work out a record.
const (
	ExitOK       = 0
	ExitNoOutput = 1 // the report could not be written
	ExitBadInput = 2 // flags or record cannot be used
)

// MaxSize is the largest record that is read, in bytes; a real one holds a few
// kilobytes.
const MaxSize = 1 << 20

// Load reads the record file that was given with the named flag.
func Load(flagName, file string) ([]byte, error) {
	f, err := os.Open(file)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", flagName, err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, MaxSize+1))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", flagName, err)
	}
	if len(data) > MaxSize {
		return nil, fmt.Errorf("%s = %q: larger than %d bytes", flagName, file, MaxSize)
	}
	return data, nil
}

// Program is a program that works out a record: what it is called, what it does,
// its flags and its work.
type Program struct {
	Name  string
	About string // one sentence
	Flags func(*flag.FlagSet)
	Work  func() (Answer, error)
}

// Answer is the whole answer: what is printed, and the drawing that -svg asks for.
type Answer struct {
	Text string
	Draw func() ([]byte, error) // SVG; nil when there is nothing to draw
}

// Run parses the arguments, does the work and ends the program with Finish. It
// returns the exit status.
func (p Program) Run(args []string, stdout, stderr io.Writer) int {
	flags := flag.NewFlagSet(p.Name, flag.ContinueOnError)
	flags.SetOutput(io.Discard)
	p.Flags(flags)
	svg := flags.String("svg", "", "draw the answer too, into this `file`")
	err := flags.Parse(args)
	var text string
	switch {
	case errors.Is(err, flag.ErrHelp):
		text = p.usage(flags)
	case err != nil:
	case flags.NArg() > 0:
		err = fmt.Errorf("argument %q: not known, files and names are given with flags", flags.Arg(0))
	default:
		var a Answer
		a, err = p.Work()
		text = a.Text
		if err == nil && *svg != "" {
			err = a.drawInto(*svg)
		}
	}
	return Finish(p.Name, text, err, stdout, stderr)
}

// drawInto writes the drawing. The file is there whole or not at all.
func (a Answer) drawInto(file string) error {
	if a.Draw == nil {
		return errors.New("-svg: there is nothing to draw here")
	}
	data, err := a.Draw()
	if err != nil {
		return FromLibrary(err)
	}
	if err := writeWhole(file, data); err != nil {
		return fmt.Errorf("-svg: %w", err)
	}
	return nil
}

// writeWhole writes beside the file and then puts the whole in its place.
func writeWhole(file string, data []byte) error {
	f, err := os.CreateTemp(filepath.Dir(file), ".drawing-*")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name()) // once renamed there is nothing left to remove
	_, err = f.Write(data)
	err = errors.Join(err, f.Chmod(0o644), f.Close())
	if err != nil {
		return err
	}
	return os.Rename(f.Name(), file)
}

func (p Program) usage(flags *flag.FlagSet) string {
	var b strings.Builder
	b.WriteString(p.About + "\n\n")
	flags.SetOutput(&b)
	flags.PrintDefaults()
	return b.String()
}

// Finish ends a program: with an error it prints one line on stderr and nothing
// on stdout, otherwise it writes the whole answer. A call for help is no error.
func Finish(program, text string, err error, stdout, stderr io.Writer) int {
	if err != nil && !errors.Is(err, flag.ErrHelp) {
		fmt.Fprintln(stderr, program+": "+OneLine(err.Error()))
		return ExitBadInput
	}
	if _, err := io.WriteString(stdout, text); err != nil {
		fmt.Fprintln(stderr, program+": standard output: "+OneLine(err.Error()))
		return ExitNoOutput
	}
	return ExitOK
}

// OneLine keeps a message on one line, whatever a file or field is called.
func OneLine(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f || r == 0x85 || r == 0x2028 || r == 0x2029 {
			return ' '
		}
		return r
	}, s)
}
