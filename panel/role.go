package panel

// Role is what a thing of the drawing is for.
type Role string

// The roles. All but RoleIgnore are the default layer names too; case does not matter there.
const (
	RoleOutline   Role = "outline"
	RoleBoard     Role = "board"
	RoleLED       Role = "led"
	RoleOpening   Role = "opening"
	RoleMount     Role = "mount"
	RoleBody      Role = "body"
	RoleLettering Role = "lettering"
	RoleWindow    Role = "window"     // lit through, and no lettering: the paint is opened there
	RolePrint     Role = "print"      // on the board's LED side
	RolePrintBack Role = "print-back" // on its other side
	RoleIgnore    Role = "ignore"     // means nothing: a frame, a title block, drilling marks; no layer has it by name
)

// Roles returns the roles of a panel's things in a fixed order: all but RoleIgnore.
func Roles() []Role {
	return []Role{RoleOutline, RoleBoard, RoleLED, RoleOpening, RoleMount, RoleBody, RoleLettering, RoleWindow, RolePrint, RolePrintBack}
}

// Drawn reports whether things of the role come out as they are drawn: texts, lines and fillings, engraved or printed.
func (r Role) Drawn() bool { return r == RoleLettering || r.Printed() }

// Printed reports whether things of the role are printed on the board.
func (r Role) Printed() bool { return r == RolePrint || r == RolePrintBack }
