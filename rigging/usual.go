package rigging

// UsualSetup returns a rig of class c as boats are commonly set, to start from and
// to draw where nothing is measured; never to be set by. Pins, inboard, oars and
// gate height lie within the usual ranges of [Ranges], whose sources they share: span
// 159 and spread 85 cm of 157 to 160 and 83 to 87 (Wilson), inboards 88 and 115 cm
// and oars 288 and 375 cm (club handouts), gate height 17 cm of 16 to 19 (Nolte).
// The gates' difference of 1 cm, the heel depth of 17 cm and the stern pitch of 4°
// are common practice, the plate's 42° from memory. The stretcher's 24 and 22 cm put
// the finish of a body of medium size near 44° and 35°; engineering judgement.
func UsualSetup(c Class) Setup {
	s := Setup{
		Class: c, GateHeight: givenGateHeight, HeelDepth: givenHeelDepth, PlateAngle: givenPlateAngle, SternPitch: pitchAim, SeatOverWater: DefaultSeatOverWater,
	}
	if c.Scull {
		s.Span, s.OarLength, s.Inboard, s.HeelToPin, s.GateDifference = 1.59, 2.88, 0.88, 0.24, givenGateStep
		return s
	}
	s.Spread, s.OarLength, s.Inboard, s.HeelToPin, s.Side = 0.85, 3.75, 1.15, 0.22, Port
	return s
}
