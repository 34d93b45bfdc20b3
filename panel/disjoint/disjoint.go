// Package disjoint keeps sets of the numbers from 0 to n-1 that share no member and only ever grow together: what is joined to
// what, when joints become known one by one.
//
// Source: B. A. Galler and M. J. Fisher, "An Improved Equivalence Algorithm", CACM 7(5), 1964, doi:10.1145/364099.364331, with
// halved paths (R. E. Tarjan and J. van Leeuwen, "Worst-Case Analysis of Set Union Algorithms", JACM 31(2), 1984,
// doi:10.1145/62.2160). We differ: a set goes by its least member, so that its name does not depend on the order of the joints.
// m joints of n numbers take O(m log n).
package disjoint

// Sets are disjoint sets: of each number a smaller one of its set, or itself.
type Sets []int32

// New returns n sets of one number each.
func New(n int) Sets {
	s := make(Sets, n)
	for i := range s {
		s[i] = int32(i)
	}
	return s
}

// Least returns the least number of i's set.
func (s Sets) Least(i int) int {
	k := int32(i)
	for s[k] != k {
		s[k] = s[s[k]]
		k = s[k]
	}
	return int(k)
}

// Join makes one set of those of i and j, and reports whether they were two.
func (s Sets) Join(i, j int) bool {
	a, b := s.Least(i), s.Least(j)
	s[max(a, b)] = int32(min(a, b))
	return a != b
}

// Joined reports whether i and j are of one set.
func (s Sets) Joined(i, j int) bool { return s.Least(i) == s.Least(j) }
