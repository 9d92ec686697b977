package closeup

var netFigures []Figure
var lineFigures []Figure
var vehicleFigures []Figure
