package closeup

var loadFigures []Figure
var drumFigures []Figure
var netFigures []Figure
var lineFigures []Figure
var vehicleFigures []Figure
