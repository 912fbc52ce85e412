package corpus

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io/fs"
	"path"
	"sort"
)

// Corpus is the whole of testdata.
type Corpus struct {
	Sources []Source
	Suites  []Suite
}

// Load reads sources.json and every file under vectors. Unknown fields, fields
// given twice and trailing text are refused.
func Load(dir fs.FS) (*Corpus, error) {
	c := &Corpus{}
	if err := readStrict(dir, "sources.json", &c.Sources); err != nil {
		return nil, err
	}
	err := fs.WalkDir(dir, "vectors", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		if path.Ext(name) != ".json" {
			return fmt.Errorf("corpus: %s: only .json files belong under vectors", name)
		}
		s := Suite{File: name}
		if err := readStrict(dir, name, &s); err != nil {
			return err
		}
		c.Suites = append(c.Suites, s)
		return nil
	})
	if err != nil {
		return nil, err
	}
	sort.Slice(c.Suites, func(i, j int) bool { return c.Suites[i].File < c.Suites[j].File })
	return c, nil
}

func readStrict(dir fs.FS, name string, v any) error {
	data, err := fs.ReadFile(dir, name)
	if err != nil {
		return err
	}
	if err := unmarshalStrict(data, v); err != nil {
		return fmt.Errorf("corpus: %s: %w", name, err)
	}
	return nil
}

// unmarshalStrict is json.Unmarshal that refuses unknown fields and fields
// given twice.
func unmarshalStrict(data []byte, v any) error {
	if _, err := parseTree(data); err != nil {
		return err
	}
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	return d.Decode(v)
}

// Source returns the source with that id.
func (c *Corpus) Source(id string) (Source, bool) {
	for _, s := range c.Sources {
		if s.ID == id {
			return s, true
		}
	}
	return Source{}, false
}

// Vectors returns all vectors, suite by suite.
func (c *Corpus) Vectors() []*Vector {
	var out []*Vector
	for i := range c.Suites {
		for j := range c.Suites[i].Vectors {
			out = append(out, &c.Suites[i].Vectors[j])
		}
	}
	return out
}
