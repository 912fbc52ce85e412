package main

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"collinear.example/worksheet"
)

// learner is one row of the file of answers.
type learner struct {
	name    string
	answers map[string]string // by the id of the step
}

const maxLearners = 1000

// parseAnswers reads the answers of a class; a column is the number of a question
// or its id.
func parseAnswers(data []byte, e *worksheet.Exercise) ([]learner, error) {
	r := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(data, []byte("\uFEFF"))))
	r.TrimLeadingSpace = true
	rows, err := r.ReadAll()
	if err != nil {
		return nil, fmt.Errorf("answers: %w", err)
	}
	if len(rows) < 2 {
		return nil, errors.New("answers: want a row of headings and a row for each learner")
	}
	if len(rows) > maxLearners {
		return nil, fmt.Errorf("answers: more than %d rows", maxLearners)
	}
	ids, err := headings(rows[0], e.Questions())
	if err != nil {
		return nil, err
	}
	var out []learner
	for i, row := range rows[1:] {
		name := strings.TrimSpace(row[0])
		if name == "" {
			return nil, fmt.Errorf("answers, row %d, column 1: the learner has no name", i+2)
		}
		if slices.ContainsFunc(out, func(l learner) bool { return l.name == name }) {
			return nil, fmt.Errorf("answers, row %d, column 1: %q stands there twice", i+2, name)
		}
		l := learner{name: name, answers: map[string]string{}}
		for c, id := range ids {
			if text := strings.TrimSpace(row[c+1]); text != "" {
				l.answers[id] = text
			}
		}
		out = append(out, l)
	}
	return out, nil
}

// headings turns the first row into the ids of the questions.
func headings(row []string, questions []worksheet.Question) ([]string, error) {
	if strings.TrimSpace(strings.ToLower(row[0])) != "learner" {
		return nil, fmt.Errorf("answers, row 1, column 1 = %q: want the heading learner", row[0])
	}
	var ids []string
	for c, h := range row[1:] {
		h = strings.TrimSpace(h)
		id := h
		if n, err := strconv.Atoi(h); err == nil && n >= 1 && n <= len(questions) {
			id = questions[n-1].ID
		}
		known := slices.ContainsFunc(questions, func(q worksheet.Question) bool { return q.ID == id })
		if !known || slices.Contains(ids, id) {
			return nil, fmt.Errorf("answers, row 1, column %d = %q: want the number of a question, each once, 1 to %d", c+2, h, len(questions))
		}
		ids = append(ids, id)
	}
	return ids, nil
}
