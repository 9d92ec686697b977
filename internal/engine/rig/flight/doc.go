// Package flight studies what steady flight does to a rig: how far the load
// trails, how it hangs there, what its legs then carry, how it swings, and the
// first speed at which a leg goes slack or a limit is passed.
//
// It is a study and no plan. A load can yaw, oscillate or fly up at speeds
// where its trail looks harmless, and nothing here predicts that: the airspeed
// published for the load governs. No speed computed here belongs on a brief.
//
// # Method
//
// Air of one speed and direction puts a drag force on each body, in the
// direction of the air. Its size is ½·ρ·V²·CdA, and CdA follows from the
// attitude: with u the air's direction in the body's own axes,
//
//	CdA = u_x²·CdA_x + u_y²·CdA_y + u_z²·CdA_z
//
// where CdA_x, CdA_y, CdA_z are the drag areas entered for the body, or those of
// its shape ([Areas]). The force acts on the middle of the shape. It is held
// steady while the rig is hung, and hung again with the drag of the attitude
// found, until both agree. There is no lift, no side force, no shielding of one
// body by another and no drag of legs. A body without shape, such as a net or a
// bag, is a mass on its ring with only the drag entered for it.
//
// A load under one hook keeps its heading: whatever keeps it from turning
// supplies the moment reported as [Point.Turning]. Under two hooks or more the
// hooks hold it.
//
// # Frames and units
//
// SI: m/s, N, rad, kg/m³, Hz. The hook frame is level, x forward, and flies with
// the aircraft. Pitch is positive nose up, roll positive right side down.
package flight
