package closeup

var apexFigures []Figure
var fanFigures []Figure
var fastenerFigures []Figure
var tieFigures []Figure
var slingFigures []Figure
var loadFigures []Figure
var drumFigures []Figure
var netFigures []Figure
var lineFigures []Figure
var vehicleFigures []Figure
