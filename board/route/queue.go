package route

// item is a node in the queue, with the cost it was reached at.
type item struct {
	cost, node int32
}

// queue hands out items by their rank f, which is the cost and the bound of what is still to go: lowest first, to
// within a bucket's width; in a bucket the last one in comes out first. Ranks below the bucket being emptied join it.
//
// Source: R. B. Dial, "Algorithm 360: Shortest-Path Forest with Topological Ordering", CACM 12(11), 1969,
// doi:10.1145/363269.363610. We differ: a bucket is bucketWidth wide, so an item may come out up to that too early.
type queue struct {
	buckets [][]item
	at, top int // lowest bucket that may hold items, highest used
	base    int32
	n       int
}

const (
	bucketWidth = 64      // µm
	bucketMax   = 1 << 17 // ranks beyond this many buckets share the last one
)

func (q *queue) reset(base int32) {
	for i := q.at; i <= q.top && i < len(q.buckets); i++ {
		q.buckets[i] = q.buckets[i][:0]
	}
	q.at, q.top, q.base, q.n = 0, 0, base, 0
}

func (q *queue) push(f int32, it item) {
	i := min(max(q.at, int(f-q.base)/bucketWidth), bucketMax)
	for i >= len(q.buckets) {
		q.buckets = append(q.buckets, nil)
	}
	q.buckets[i] = append(q.buckets[i], it)
	q.top = max(q.top, i)
	q.n++
}

func (q *queue) pop() item {
	for len(q.buckets[q.at]) == 0 {
		q.at++
	}
	b := q.buckets[q.at]
	it := b[len(b)-1]
	q.buckets[q.at] = b[:len(b)-1]
	q.n--
	return it
}
