package read

import (
	"strconv"

	"lampblack/panel/diag"
	"lampblack/panel/room"
)

// roomsTold returns what the project's rules tell of the space behind openings, one for each, and tells rules that take none.
func roomsTold(openings []loop, rules []RoomRule, panel string) ([]room.Told, findings) {
	var said findings
	if len(rules) == 0 {
		return nil, said
	}
	list := make([]Rule, 0, len(rules))
	index := make([]int, 0, len(rules))
	all := -1
	for i, r := range rules {
		if r.All {
			all = i
			continue
		}
		list, index = append(list, r.Rule), append(index, i)
	}
	uses := make([]int, len(rules))
	told := make([]room.Told, len(openings))
	for i := range openings {
		best := all
		if k, _ := taking(&openings[i], list, layers{}, nil); k >= 0 {
			best = index[k]
		}
		if best >= 0 {
			uses[best]++
			told[i] = room.Told{Set: true, Beyond: rules[best].Beyond}
		}
	}
	for i, r := range rules {
		if uses[i] == 0 && !r.All && !r.Shared && r.Rule.Kind != RestRule {
			said.add(diag.Warning, "panel-room-empty", nil, "no opening is %s, for which the project tells the room behind it", r.Rule).Of(panel).
				About("room."+strconv.Itoa(i), "room").Fix("%s shows what there is; take the rule away or correct it", shows()).
				By("take the rule away", diag.Remove, "room."+strconv.Itoa(i), nil)
		}
	}
	return told, said
}
