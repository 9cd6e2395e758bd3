// The symbols of the wiring diagram, in the manner of IEC 60617. Each is drawn about a point of the wire it sits on.
#pragma once

#include "io/document/canvas.hpp"
#include "io/document/diagram_layout.hpp"

namespace amphora::document {

void draw_battery(Canvas& sheet, double x, double top, double foot);
void draw_fuse(Canvas& sheet, double x, double y);
void draw_breaker(Canvas& sheet, double x, double y);
void draw_contact(Canvas& sheet, double x, double y);
/// A resistor with four terminals on a level line.
void draw_shunt(Canvas& sheet, double x, double y);
void draw_chassis(Canvas& sheet, double x, double y);
/// A load, converter or source in a box whose left edge is at x and whose middle is at y.
void draw_consumer(Canvas& sheet, double x, double y, Symbol symbol);

}  // namespace amphora::document
