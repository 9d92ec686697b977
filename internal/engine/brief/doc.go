// Package brief makes the load brief: what three papers say about one load
// under one aircraft. The placard hangs on the load, the aircrew sheet goes into
// the cockpit, the card goes to the team that hooks the load up.
//
// Nothing in it is made up. A figure comes from the rig as it hangs, from the
// aircraft as entered, from what the aircraft can carry, or from what the school
// entered for this load; what nobody entered is named as such. A count is planned
// only where the rig's procedure gives it.
//
// The papers stay a draft until [Brief.Why] is empty. The same values are
// printed on paper and shown on a screen, so that both say the same.
package brief
