package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func answers(t *testing.T, in string) []string {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, run(nil, strings.NewReader(in), &out))
	return strings.Split(strings.TrimSuffix(out.String(), "\n"), "\n")
}

func TestAnswers(t *testing.T) {
	got := answers(t, `{"id":"a","computation":"align.clock","input":{"hour":9}}
not json

{"id":"b","computation":"align.clock","input":{}}
{"id":"c","computation":"align.nothing","input":{}}`)
	require.Len(t, got, 5)
	require.JSONEq(t, `{"id":"a","result":{"degrees":[270,"1"],"up":[0,"1"],"right":[-1,"1"]}}`, got[0])
	require.JSONEq(t, `{"id":null,"error":"bad-json"}`, got[1])
	require.JSONEq(t, `{"id":null,"error":"bad-json"}`, got[2])
	require.JSONEq(t, `{"id":"b","error":"missing"}`, got[3])
	require.JSONEq(t, `{"id":"c","error":"unknown-computation"}`, got[4])
}

func TestLongLinesAreBounded(t *testing.T) {
	long := strings.Repeat("x", 3*maxLine)
	good := `{"id":"a","computation":"align.clock","input":{"hour":12}}`
	got := answers(t, long+"\n"+good+"\n"+long)
	require.Len(t, got, 3)
	require.JSONEq(t, `{"id":null,"error":"line-too-long"}`, got[0])
	require.Contains(t, got[1], `"id":"a"`)
	require.JSONEq(t, `{"id":null,"error":"line-too-long"}`, got[2])
}

// The corpus goes through the line protocol: every case is answered under its
// own id, the must-fail ones with their code.
func TestCorpusThroughTheProtocol(t *testing.T) {
	var cases bytes.Buffer
	require.NoError(t, run([]string{"-cases"}, nil, &cases))
	lines := strings.Split(strings.TrimSpace(cases.String()), "\n")
	if testing.Short() { // the race detector is slow
		lines = slices.DeleteFunc(lines, func(s string) bool { return strings.Contains(s, `"id":"moves.random.`) })
	}
	got := answers(t, strings.Join(lines, "\n"))
	require.Len(t, got, len(lines))
	for i, line := range lines {
		var c, a struct {
			ID     string         `json:"id"`
			Error  string         `json:"error"`
			Result map[string]any `json:"result"`
		}
		require.NoError(t, json.Unmarshal([]byte(line), &c))
		require.NoError(t, json.Unmarshal([]byte(got[i]), &a))
		require.Equal(t, c.ID, a.ID)
		require.Equal(t, c.Error, a.Error, c.ID)
		require.Equal(t, c.Error == "", a.Result != nil, c.ID)
	}
}

func TestListAndReport(t *testing.T) {
	var out bytes.Buffer
	require.NoError(t, run([]string{"-list"}, nil, &out))
	require.Contains(t, out.String(), "align.reverse-indicator\n")

	if testing.Short() {
		return // the report works out the whole corpus
	}
	out.Reset()
	require.NoError(t, run([]string{"-report", "-testdata", "../../testdata"}, nil, &out))
	require.Contains(t, out.String(), "bloch-geitner-ch5")
	require.Contains(t, out.String(), "corpus: ")
}

// A corpus with a wrong answer makes the report fail.
func TestReportFailsOnAWrongAnswer(t *testing.T) {
	dir := t.TempDir()
	write := func(name, text string) {
		require.NoError(t, os.MkdirAll(filepath.Dir(filepath.Join(dir, name)), 0o755))
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644))
	}
	write("sources.json", `[{"id":"own","kind":"own","citation":"here"}]`)
	write("vectors/a.json", `{"suite":"a","vectors":[{"id":"a","title":"t","computation":"align.clock","input":{"hour":3},
		"expect":[{"name":"up","exact":1,"unit":"1","tolerance":0.1,"reason":"r"}],"source":"own","known":"derived"}]}`)
	var out bytes.Buffer
	require.ErrorContains(t, run([]string{"-report", "-testdata", dir}, nil, &out), "1 checks failed")
}

type brokenReader struct{}

func (brokenReader) Read([]byte) (int, error) { return 0, errors.New("pipe broke") }

func TestFaults(t *testing.T) {
	var out bytes.Buffer
	require.ErrorContains(t, run([]string{"extra"}, nil, &out), "unexpected argument")
	require.Error(t, run([]string{"-report", "-testdata", filepath.Join(t.TempDir(), "none")}, nil, &out))
	require.ErrorContains(t, run(nil, brokenReader{}, &out), "pipe broke")
	_, err := find(t.TempDir())
	require.ErrorContains(t, err, "give -testdata")
}

func FuzzAnswer(f *testing.F) {
	f.Add([]byte("{\"id\":\"a\",\"computation\":\"align.clock\",\"input\":{\"hour\":9}}\n\n[1]\n"))
	f.Fuzz(func(t *testing.T, in []byte) {
		var out bytes.Buffer
		require.NoError(t, run(nil, bytes.NewReader(in), &out))
		want := bytes.Count(in, []byte("\n"))
		if len(in) > 0 && in[len(in)-1] != '\n' {
			want++
		}
		require.Equal(t, want, bytes.Count(out.Bytes(), []byte("\n")))
	})
}
