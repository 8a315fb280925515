package wire

// Job is big work under way or done.
type Job struct {
	ID     string   `json:"id"`
	State  string   `json:"state" enum:"running,done,failed,cancelled" description:"running also while it waits for its turn."`
	Done   int64    `json:"done" description:"Units of work done."`
	Total  int64    `json:"total" description:"Units of work in all; 0 while not known."`
	Result any      `json:"result,omitempty" description:"What the operation would have answered at once, when the job is done; when it was cancelled, what had come of it by then, where that is something."`
	SoFar  any      `json:"so_far,omitempty" description:"What has been found so far, where the work tells."`
	Error  *Problem `json:"problem,omitempty" description:"What the operation would have answered at once, when the job has failed."`
}
