package spread

// primes are the bases of the Halton sequence, one for each dimension.
func primes(n int) []int {
	var out []int
next:
	for k := 2; len(out) < n; k++ {
		for _, p := range out {
			if p*p > k {
				break
			}
			if k%p == 0 {
				continue next
			}
		}
		out = append(out, k)
	}
	return out
}

// mix is one step of the SplitMix64 generator (G. L. Steele, D. Lea and C. H.
// Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014): the
// hash of a counter.
func mix(x uint64) uint64 {
	x += 0x9e3779b97f4a7c15
	x = (x ^ (x >> 30)) * 0xbf58476d1ce4e5b9
	x = (x ^ (x >> 27)) * 0x94d049bb133111eb
	return x ^ (x >> 31)
}

// halton is a randomized Halton sequence: point i, coordinate d is the radical
// inverse of i in the d-th prime base with the digits of every place permuted.
type halton struct {
	base []int
	// perm[d][k] is the permutation of the digits at place k of dimension d.
	perm [][][]int
}

// newHalton makes the sequence of a seed. Every dimension is followed to the
// place beyond which a digit no longer changes a float64.
func newHalton(dimensions int, seed uint64) *halton {
	h := &halton{base: primes(dimensions)}
	for d, b := range h.base {
		state := mix(seed ^ mix(uint64(d)+1))
		var places [][]int
		for size := 1.0; size > 0x1p-53; size /= float64(b) {
			p := make([]int, b)
			for i := range p {
				p[i] = i
			}
			for i := b - 1; i > 0; i-- {
				state = mix(state)
				j := int(state % uint64(i+1)) // the bias is below 2⁻⁵⁰
				p[i], p[j] = p[j], p[i]
			}
			places = append(places, p)
		}
		h.perm = append(h.perm, places)
	}
	return h
}

// at fills x with point i of the sequence, each coordinate in [0, 1).
func (h *halton) at(i int, x []float64) {
	for d, b := range h.base {
		n, scale, v := i, 1.0, 0.0
		for _, p := range h.perm[d] {
			scale /= float64(b)
			v += float64(float64(p[n%b]) * scale)
			n /= b
		}
		x[d] = min(v, 1-0x1p-53)
	}
}
