// SPDX-License-Identifier: Apache-2.0

// Package nest lays the pieces of a strip set on sheets for a cutter: rows
// side by side, neighbours in a row sharing their cuts.
//
// [Pieces] lays pieces that are cut from single fabrics, [StripSets] lengths of
// sewn strip set, slanted where a sheet then holds more, and [OutOf] the
// lengths of strip sets that a plan sews; [Gang] puts pieces beside each other
// for a die. All return [Sheet], which knows where each piece lies
// ([Sheet.Pieces]), which cuts part them and in which order ([Sheet.Lines]),
// and where there is room for a calibration square ([Sheet.Room]).
//
// A sheet's lower-left corner is at (0, 0), its longer side along x; lengths
// are in the pattern's unit. Fabric lies right side up; [Sheet.Mirror] is for
// fabric that lies wrong side up.
package nest
