// Package lesson turns an inspection sequence into what a class is taught with:
// the lesson itself, checkpoint by checkpoint, as data; a handout; pages for a
// projector; and picture quizzes with their keys.
//
// # Concept
//
// [Of] lays a sequence on a surveyed rig: at each checkpoint the questions that
// it asks, how right looks, how each wrong state looks, why it matters and what
// it would do to this load. Nothing of that is written by hand: the states and
// why they matter are the catalogue's, what they would do is computed and handed
// in. What is asked in the same way of several parts is one question.
//
// A [Quiz] is chosen from a seed and from nothing else: the same seed on the same
// rig gives the same quiz. Its pictures are those of package closeup without any
// word for staff; which part is asked about has nothing to do with whether it is
// drawn as it should be, so a good state cannot be told from a bad one by
// anything but what is drawn.
//
// # Rules
//
// As in package sheet. No mark stands for good or bad: the words do. A lesson or
// a quiz is practice and says nothing about any load. Sizes are in mm of paper.
package lesson
