// Package store keeps the records of a club in one SQLite file: athletes and their
// measures, ergometer tests, boats with the rig of every seat and its history, oars,
// line-ups, work sheets, recorded strokes, seat races and accounts. What belongs
// together lies in a room of its own below it; [Store] has the methods of all, and
// here are the acts that concern several. Nothing is converted or calculated here.
package store
