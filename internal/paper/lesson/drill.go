package lesson

// Pictures are the question drawn as it should be and in each wrong state that
// is drawn in the same view and looks otherwise; nil where there is no such.
// What of a question is shown then tells nothing but what is drawn.
func (q *Question) Pictures() (good *Shown, wrong []Shown) {
	if q.Good == nil {
		return nil, nil
	}
	for i := range q.Wrong {
		w := &q.Wrong[i]
		if w.Drawing == nil || w.Drawing.View != q.Good.View || w.Drawing.ID() == q.Good.ID() {
			continue
		}
		wrong = append(wrong, Shown{w.Drawing, w.State, w.Cases[0].of})
	}
	if wrong == nil {
		return nil, nil
	}
	return &Shown{Drawing: q.Good, State: q.good}, wrong
}
