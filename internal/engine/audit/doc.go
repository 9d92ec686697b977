// Package audit checks a solution against its rig from the two files alone,
// by a second route.
//
// It shares no code with the solver, the model of the rig or the writer of
// solutions: it reads both files by itself, and works out from the published
// positions what every line, contact and weight must then do. What it needs of
// the stiffness it takes by finite differences from its own forces; contact it
// integrates by brute force. What agrees was found twice.
//
// # What is compared
//
// Every number of a solution that it knows of: the balance of each body and
// free node, masses, positions, lengths, tensions, angles, ratings and shares,
// hook and pendant forces, contact forces, sets, the worst case over longer and
// shorter legs, modes and the lowest stiffness, and every limit held against
// something. Texts are not compared, but for the result, the standing to a
// procedure and the list of what is not entered.
//
// What a liquid weighs is computed anew from the published formulas. Where its
// tank is part-filled, its CG is found from the attitude in the solution, by
// slicing the tank; it is then held there in the cases and modes, as in the
// solution. Whether the liquid is over-full is part of the result.
//
// # Tolerances
//
// W is the weight of all bodies. Forces: 1e-6 of W, the balance that a solution
// promises; contact forces and the balance of bodies that touch in addition
// twice the difference between the integral with n and with 2n samples.
// Lengths: 1e-6 m. Angles: 1e-5 deg. Shares: 1e-6, and 1e-6 of W over the
// rating. Worst cases are solved again from the published position to the same
// balance; legs may be soft against each other, so their tensions are compared
// to 1e-5 of W. Modes and stiffness come from finite differences: 1e-4 of the
// number; motions slower than a thirtieth of a pendulum as long as the rig are
// not compared. The solution's own residual is rounding; it is only held against the
// balance that it promises.
//
// # Frames and units
//
// As in the two formats: metres, newtons, kilograms; x forward, y left, z up;
// angles in degrees where they are published, in radians inside.
package audit
