package web

import "hangtrue/internal/engine/people"

// classRoutes are the pages of classes, lanes, the test day and its grading.
// What is planted is on none that a student may open.
func classRoutes() []route {
	teach, grade, drill, records := schoolFor(people.Teach), schoolFor(people.Grade), schoolFor(people.Drill), schoolFor(people.SeeRecords)
	return []route{
		{"GET", "/classes", "the classes", teach, (*Server).classesPage},
		{"POST", "/classes", "add a class", teach, (*Server).addClass},
		{"GET", "/classes/{class}", "a class's students", teach, (*Server).classPage},
		{"POST", "/classes/{class}", "change a class, its groups, who was there", teach, (*Server).changeClass},
		{"POST", "/classes/{class}/roster", "look through a roster, and take it in", teach, (*Server).rosterPage},
		{"POST", "/classes/{class}/links", "print one-time links for a class", schoolFor(people.ManagePeople), (*Server).classLinks},
		{"GET", "/classes/{class}/students/{student}", "a student's history", teach, (*Server).studentPage},
		{"POST", "/classes/{class}/students/{student}", "notes and retraining of a student", teach, (*Server).changeStudent},
		{"GET", "/classes/{class}/students/{student}/data.json", "all that is kept of a student", teach, (*Server).studentData},
		{"GET", "/classes/{class}/students/{student}/results.pdf", "a student's result sheet", teach, (*Server).studentSheet},
		{"GET", "/classes/{class}/lanes", "a class's lanes", teach, (*Server).lanesPage},
		{"POST", "/classes/{class}/lanes", "add a lane", teach, (*Server).addLane},
		{"GET", "/classes/{class}/rotation", "who goes where and when", teach, (*Server).rotationPage},
		{"POST", "/classes/{class}/rotation", "plan the test day", teach, (*Server).planRotation},
		{"GET", "/classes/{class}/rotation.pdf", "the test day as a table", teach, (*Server).rotationSheet},
		{"GET", "/classes/{class}/board", "the board of a test day", drill, (*Server).boardPage},
		{"GET", "/classes/{class}/results", "what a class's runs came to", teach, (*Server).classResultsPage},
		{"GET", "/lanes/{lane}", "a lane: its rule and its versions", teach, (*Server).lanePage},
		{"POST", "/lanes/{lane}", "change a lane, plant", teach, (*Server).changeLane},
		{"GET", "/lanes/{lane}/hand", "choose by hand what is planted", teach, (*Server).laneHandPage},
		{"GET", "/tagged", "loads that carry a red tag", records, (*Server).taggedPage},
		{"POST", "/tagged", "say that a load is another than a tagged one", records, (*Server).declareOther},
		{"GET", "/versions/{version}", "what is planted in a version", teach, (*Server).versionPage},
		{"GET", "/versions/{version}/picture/{picture}", "a picture of what is planted", records, (*Server).versionPicture},
		{"POST", "/versions/{version}", "show the key, void an item", teach, (*Server).changeVersion},
		{"GET", "/versions/{version}/put-back", "put a load back", records, (*Server).putBackPage},
		{"POST", "/versions/{version}/put-back", "confirm what was put back", records, (*Server).putBack},
		{"GET", "/versions/{version}/paper/{paper}", "set-up card, put-back list, key", records, (*Server).versionSheet},
		{"GET", "/grade", "lanes to grade", grade, (*Server).gradesPage},
		{"GET", "/grade/{version}", "grade a run", grade, (*Server).gradePage},
		{"POST", "/grade/{version}", "one entry of a run", grade, (*Server).gradeStep},
		{"POST", "/grade/{version}/events", "entries of runs from a tablet", grade, (*Server).takeRuns},
		{"GET", "/runs/{run}", "one run", grade, (*Server).runPage},
		{"POST", "/runs/{run}", "an appeal, a decision, a review", grade, (*Server).changeRun},
		{"GET", "/lane-run", "lanes in pictures on one's own screen", drill, (*Server).myLanesPage},
		{"POST", "/lane-run", "begin a run of a lane in pictures", drill, (*Server).startLaneRun},
		{"GET", "/lane-run/{run}", "stand at a station of a lane in pictures", drill, (*Server).laneRunPage},
		{"POST", "/lane-run/{run}", "call at a station of a lane in pictures", drill, (*Server).answerLaneRun},
		{"GET", "/lane-run/{run}/picture/{picture}", "a picture of the station stood at", drill, (*Server).laneRunPicture},
		{"GET", "/results", "one's own results", drill, (*Server).myResultsPage},
		{"GET", "/results/data.json", "all that is kept of oneself", drill, (*Server).myData},
	}
}
