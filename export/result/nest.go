package result

import "lampblack/panel/geom"

// Nest is how the sheets of one kind, of all panels and copies, lie on stock. Places count from its lower left corner.
type Nest struct {
	Sheet    string      `json:"sheet" doc:"which of the panels' sheets" schema:"enum=face|diffuser|led_sheet|plate"`
	Width    float64     `json:"width_mm" doc:"of the stock" schema:"min=0"`
	Height   float64     `json:"height_mm" doc:"of the stock" schema:"min=0"`
	Gap      float64     `json:"gap_mm" doc:"between two pieces, at least" schema:"min=0"`
	Edge     float64     `json:"edge_mm" doc:"between a piece and the stock's edge, at least" schema:"min=0"`
	Sheets   int         `json:"sheets" doc:"of stock that it takes" schema:"min=0"`
	Used     float64     `json:"used_mm" doc:"of the last one's width" schema:"min=0"`
	CutOff   *[2]float64 `json:"cut_off_mm,omitempty" doc:"width and height of what is left of the last one, a gap behind its last piece"`
	Waste    float64     `json:"waste" doc:"share of the stock, without that cut-off, that becomes no piece" schema:"min=0,max=1"`
	Pieces   []NestPiece `json:"pieces" doc:"what is cut from it"`
	TooLarge []string    `json:"too_large,omitempty" doc:"panels whose sheet is larger than the stock, and is on none"`
	Files    []string    `json:"files,omitempty" doc:"its files, below the output folder"`
}

// NestPiece is where a panel's sheet lies.
type NestPiece struct {
	Panel string  `json:"panel" doc:"whose sheet it is"`
	Copy  int     `json:"copy" doc:"of which console, from 1 on" schema:"min=1"`
	On    int     `json:"on" doc:"which sheet of stock it lies on, from 1 on" schema:"min=1"`
	X     float64 `json:"x" doc:"of the lower left corner of its cuts, mm from that of the stock"`
	Y     float64 `json:"y" doc:"of the lower left corner of its cuts, mm from that of the stock"`
	Turn  int     `json:"turn" doc:"degrees counter-clockwise, from how its own file shows it" schema:"enum=0|90|180|270"`
}

// NestPieceOf returns a piece whose cuts have their lower left corner at a point of the stock, turned by quarters.
func NestPieceOf(panel string, copies, on int, at geom.Pt, quarters int) NestPiece {
	return NestPiece{panel, copies, on, num(at.X.MM(), 6), num(at.Y.MM(), 6), quarters * geom.QuarterDegrees}
}
