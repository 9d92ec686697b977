// Package part knows the kinds of parts that a person can look at on a rig:
// their attributes, the states each may be in, which of them is the good one,
// how a person sees it, what a bad one may end in, and what it means to the
// mechanics of the load.
//
// The kinds themselves are data: a [Catalog], read by package catalogfile. No
// kind is known to the code. What the code knows is the vocabulary: what a
// kind is found on ([Each]), what an attribute may depend on ([Condition]),
// and what a state may mean ([Meaning]).
//
// # Glossary
//
//   - kind: a sort of part, such as a grab hook, or a relation between parts,
//     such as two legs that lie side by side.
//   - attribute: one thing that can be asked of a part of that kind.
//   - state: an answer. One state is the good one, or the plan says which.
//   - deficiency: a part in a state that the plan does not call for.
//
// # Invariants
//
//   - A catalogue is not changed once made; [Merge] makes a new one.
//   - Kinds, attributes and states keep the order in which they were written:
//     lists made from them are stable.
package part
