// Package picture draws rigs: as they stand on the ground and as they hang,
// from any side, as a list of primitives that every back-end replays.
//
// The projection is orthographic, so that lengths along the picture's plane
// are to scale. Faces are sorted from far to near; legs are drawn dashed where
// a body hides them. A pendant or leg to the hook that is much longer than the
// rest of the rig is cut, with a break mark, and its length written beside it.
package picture
