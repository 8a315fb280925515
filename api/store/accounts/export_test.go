package accounts

// RecentTasks is how many finished tasks are listed.
const RecentTasks = recentTasks
