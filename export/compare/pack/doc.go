// Package pack tells what changed between two fabrication packs, ours or anybody's, in the words of somebody who orders and solders
// boards, and whether a board that was made by the old one can stand for one of the new.
//
// It goes by what the files hold, as readback reads them: by images, not by how they are drawn, so that a board written by two
// programs is the same board. Parts and holes are matched by place, then parts by reference. A board that lies elsewhere in its files
// is the same board.
package pack
