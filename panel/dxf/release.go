package dxf

// Release is a generation of DXF, as $ACADVER names it.
type Release string

// The releases that Write writes.
const (
	R12   Release = "AC1009" // what old programs and laser cutters read: no MTEXT, no handles, short names
	R2000 Release = "AC1015"
	R2004 Release = "AC1018"
	R2007 Release = "AC1021" // texts are UTF-8 from here on
)

func (r Release) utf8() bool { return r >= R2007 }

// Known returns the name of the release that people know (DXF Reference, $ACADVER): "R12", "2018"; the code itself when
// it is none of them.
func (r Release) Known() string {
	switch r {
	case "AC1006":
		return "R10"
	case R12:
		return "R12"
	case "AC1012":
		return "R13"
	case "AC1014":
		return "R14"
	case R2000:
		return "2000"
	case R2004:
		return "2004"
	case R2007:
		return "2007"
	case "AC1024":
		return "2010"
	case "AC1027":
		return "2013"
	case "AC1032":
		return "2018"
	}
	return string(r)
}
