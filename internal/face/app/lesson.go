package app

import (
	"context"
	"slices"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/paper/lesson"
	"hangtrue/internal/paper/sheet"
)

// Lesson lays a sequence on a surveyed rig as it is taught. effects are what
// each deficiency of the same rig and catalogue would do.
func Lesson(v *inspect.Survey, q *inspect.Sequence, effects *EffectsDocument) *lesson.Lesson {
	return lesson.Of(v, q, Outcomes(effects))
}

// Outcomes finds what a deficiency would do.
func Outcomes(d *EffectsDocument) func(*inspect.Deficiency) lesson.Outcome {
	known := map[string]*ListedEffect{}
	for i := range d.Effects {
		known[d.Effects[i].ID] = &d.Effects[i]
	}
	return func(x *inspect.Deficiency) lesson.Outcome {
		e := known[x.ID()]
		if e == nil {
			return lesson.Outcome{Ends: x.State.Ends}
		}
		o := lesson.Outcome{Computed: e.Computed}
		for _, end := range e.Ends {
			o.Ends = append(o.Ends, part.End(end))
		}
		if e.Computed {
			o.Text, o.Result = e.Effect, resultWords(e.Result)
		}
		return o
	}
}

// EffectWords says what a deficiency would do, computed; "" where nothing was.
func EffectWords(d *EffectsDocument, x *inspect.Deficiency) string {
	if x == nil {
		return ""
	}
	c := lesson.Case{Parts: []*inspect.Part{x.Part}, Outcome: Outcomes(d)(x)}
	return c.Words(c.Parts)
}

// EndedWords says what deficiencies of a rig would do that change nothing until
// they end as they may: what hangs then, computed; "" where that cannot be.
func EndedWords(ctx context.Context, v *inspect.Survey) func(*inspect.Deficiency) (string, error) {
	var planned *rig.Answer
	return func(d *inspect.Deficiency) (string, error) {
		if d == nil {
			return "", nil
		}
		if planned == nil {
			a, err := rig.HangWithin(ctx, v.Rig)
			if err != nil {
				return "", err
			}
			planned = a
		}
		e, err := v.Ended(ctx, planned, d)
		if e == nil || err != nil {
			return "", err
		}
		text := "If it ends so, " + e.Ends[0].Words() + ": " + e.Text
		if e.Stands() {
			text += "; " + e.Answer.Result.Words()
		}
		return text + ".", nil
	}
}

// resultWords is a result's code as a person reads it.
func resultWords(code string) string {
	results := []rig.Result{rig.Within, rig.Over, rig.CannotTell, rig.DoesNotStand}
	i := slices.IndexFunc(results, func(r rig.Result) bool { return r.String() == code })
	if i < 0 {
		return ""
	}
	return results[i].Words()
}

// LessonHandout is a lesson on A4, as PDF.
func LessonHandout(s *Solved, l *lesson.Lesson, stamp sheet.Stamp) ([]byte, error) {
	stamp.Version = s.Version
	return paginated(lesson.Handout(l, stamp))
}

// QuizPaper is a picture quiz as students get it, as PDF.
func QuizPaper(s *Solved, z *lesson.Quiz, stamp sheet.Stamp) ([]byte, error) {
	stamp.Version = s.Version
	return paginated(z.Paper(stamp))
}

// QuizKey is the key of a picture quiz, as PDF.
func QuizKey(s *Solved, z *lesson.Quiz, stamp sheet.Stamp, effects *EffectsDocument) ([]byte, error) {
	stamp.Version = s.Version
	return paginated(z.Key(stamp, Outcomes(effects)))
}

// LessonScreens is a lesson as pages for a projector, as PDF.
func LessonScreens(s *Solved, l *lesson.Lesson, stamp sheet.Stamp) ([]byte, error) {
	stamp.Version = s.Version
	return paginated(lesson.Projector(l, stamp))
}
