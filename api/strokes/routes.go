package strokes

import (
	"thole/api/access"
	"thole/api/rest"
)

// Routes lists the operations of the area.
func (s *Service) Routes() []rest.Route {
	alone := access.Coaches.OrOwn(access.Alone, "id")
	return []rest.Route{
		rest.Get("/api/v1/recordings", "List recordings", "What each oar did in each file, newest first.", s.Recordings).Paged().For(access.Coaches.Narrowed("athlete_id")),
		rest.Create("/api/v1/recordings", "Keep recordings", "Measures an upload and keeps the seats that are named, all or none. An athlete keeps their own seat alone.", s.KeepStrokes).AsJob().For(access.Coaches.OrForThemselves()),
		rest.Create("/api/v1/curves", "Keep mean curves", "Keeps the curves that are named, all or none; they can be compared like those of recordings. An athlete keeps their own alone.", s.KeepCurves).For(access.Coaches.OrForThemselves()),
		rest.Get("/api/v1/recordings/:id", "Show a recording", "Measured afresh from its samples, at other thresholds where they are asked for.", s.Recording).For(access.Coaches.OrOwn(access.Recording, "id")),
		rest.Put("/api/v1/recordings/:id", "Correct a recording", "Athlete, boat, seat, side, day, levers and note; the samples stay, and the history keeps what was said before. An athlete corrects what is theirs alone.", s.CorrectRecording).For(alone),
		rest.Put("/api/v1/recordings/:id/mark", "Mark a stroke", "With a note, or left out of every mean with the reason; without a note its mark is removed. The history keeps it. An athlete marks what is theirs alone.", s.MarkStroke).For(alone),
		rest.ChangesTabled(rest.Get("/api/v1/recordings/:id/changes", "Show what was corrected", "Oldest first, with who and when.", s.RecordingChanges).Paged().For(access.Coaches.OrOwn(access.Recording, "id")), s.RecordingChanges),
		rest.Remove("/api/v1/recordings/:id", "Remove a recording", "With its samples, and wiped from the file. An athlete removes what is theirs alone.", s.DeleteRecording).For(alone),
		rest.Get("/api/v1/recordings/:id/samples", "Show samples", "The cleaned series of a recording.", s.RecordingSamples).For(access.Coaches.OrOwn(access.Recording, "id")),
		rest.Get("/api/v1/recordings/compare", "Compare two recordings", "How well two curves match, timing apart from shape.", s.CompareRecordings).For(access.Coaches),
		rest.Get("/api/v1/recordings/squad", "Compare a squad", "The newest curve of every athlete, or of those of a squad: how well any two match, in an order that puts close matches together, and the main components of their differences.", s.SquadCurves).For(access.Coaches),
	}
}
