package people

import "slices"

// Role is what a person is at the school.
type Role string

// The roles.
const (
	Chief      Role = "chief-instructor"
	Instructor Role = "instructor"
	Inspector  Role = "inspector"
	Rigger     Role = "rigger"
	Student    Role = "student"
)

// Roles lists the roles in the order in which they are shown.
var Roles = []Role{Chief, Instructor, Inspector, Rigger, Student}

var roleWords = map[Role]string{
	Chief: "chief instructor", Instructor: "instructor", Inspector: "inspector", Rigger: "rigger", Student: "student",
}

// Words names the role to people.
func (r Role) Words() string { return roleWords[r] }

// Known reports whether there is such a role.
func (r Role) Known() bool { return slices.Contains(Roles, r) }

// Right is something that a role may do.
type Right string

// The rights.
const (
	SeeRigs          Right = "see rigs"
	ChangeRigs       Right = "change rigs"
	Inspect          Right = "walk an inspection"
	Sign             Right = "sign an inspection"
	Lapse            Right = "end a signature"
	Refuse           Right = "record a refusal"
	SeeRecords       Right = "see records"
	SeePeople        Right = "see people"
	ManagePeople     Right = "manage people"
	SeeEquipment     Right = "see equipment"
	ManageEquipment  Right = "manage equipment"
	ReleaseEquipment Right = "release equipment"
	Teach            Right = "run lessons and lanes"
	Grade            Right = "grade"
	Drill            Right = "take drills"
	Settings         Right = "change settings"
	Backup           Right = "back up"
)

// Rights lists the rights in the order in which they are shown.
var Rights = []Right{
	SeeRigs, ChangeRigs, Inspect, Sign, Lapse, Refuse, SeeRecords, SeePeople, ManagePeople,
	SeeEquipment, ManageEquipment, ReleaseEquipment, Teach, Grade, Drill, Settings, Backup,
}

// matrix says which roles have a right. The chief instructor does not sign by
// being chief: who inspects holds the role of an inspector as well.
var matrix = map[Right][]Role{
	SeeRigs:          {Chief, Instructor, Inspector, Rigger, Student},
	ChangeRigs:       {Chief, Instructor, Rigger},
	Inspect:          {Chief, Instructor, Inspector, Rigger, Student},
	Sign:             {Inspector},
	Lapse:            {Chief, Instructor, Inspector, Rigger},
	Refuse:           {Chief, Instructor, Inspector, Rigger},
	SeeRecords:       {Chief, Instructor, Inspector, Rigger},
	SeePeople:        {Chief, Instructor, Inspector, Rigger},
	ManagePeople:     {Chief},
	SeeEquipment:     {Chief, Instructor, Inspector, Rigger},
	ManageEquipment:  {Chief, Instructor, Rigger},
	ReleaseEquipment: {Chief, Inspector},
	Teach:            {Chief, Instructor},
	Grade:            {Chief, Instructor},
	Drill:            {Chief, Instructor, Inspector, Rigger, Student},
	Settings:         {Chief},
	Backup:           {Chief},
}

// May reports whether the role has the right.
func (r Role) May(x Right) bool { return slices.Contains(matrix[x], r) }
