// SPDX-License-Identifier: MIT
#include <cmath>

#include "engine/base/text.h"
#include "engine/report/clean.h"
#include "engine/report/write.h"

namespace spanwright::report {

namespace {

/// Hundredths of a pixel are enough on paper, and the bytes do not depend on the last bit of a double.
std::string number(double v) {
    const double rounded = std::round(v * 100) / 100;
    return base::shortest(rounded == 0 ? 0.0 : rounded);
}

const char* dashText(Drawing::Dash d) {
    switch (d) {
    case Drawing::Dash::Solid: return "";
    case Drawing::Dash::Long: return " stroke-dasharray=\"9 4\"";
    case Drawing::Dash::Short: return " stroke-dasharray=\"4 3\"";
    case Drawing::Dash::Dots: return " stroke-dasharray=\"1.5 3\"";
    case Drawing::Dash::LongShort: return " stroke-dasharray=\"9 3 2 3\"";
    }
    return "";
}

const char* opacity(Drawing::Ink ink) { return ink == Drawing::Ink::Faint ? " stroke-opacity=\"0.55\"" : ""; }

void put(const Drawing::Polyline& p, const std::string&, std::string& out) {
    out += "<polyline fill=\"none\" stroke=\"currentColor\" stroke-width=\"" + number(p.width) + "\"" + dashText(p.dash) + opacity(p.ink) + " points=\"";
    for (std::size_t i = 0; i < p.points.size(); ++i) out += (i == 0 ? "" : " ") + number(p.points[i].x) + "," + number(p.points[i].y);
    out += "\"/>\n";
}

void put(const Drawing::Rect& r, const std::string& prefix, std::string& out) {
    out += "<rect x=\"" + number(r.x) + "\" y=\"" + number(r.y) + "\" width=\"" + number(r.width) + "\" height=\"" + number(r.height) + "\" fill=\"" +
           (r.hatched ? "url(#" + prefix + "-hatch)" : std::string("none")) + "\" stroke=\"" + (r.hatched ? "none" : "currentColor") + "\"" + opacity(r.ink) +
           "/>\n";
}

void put(const Drawing::Dot& d, const std::string&, std::string& out) {
    out += "<circle cx=\"" + number(d.at.x) + "\" cy=\"" + number(d.at.y) + "\" r=\"" + number(d.radius) + "\" fill=\"currentColor\"/>\n";
}

void put(const Drawing::Text& t, const std::string&, std::string& out) {
    const char* anchor = t.anchor == Drawing::Text::Anchor::Start ? "start" : t.anchor == Drawing::Text::Anchor::Middle ? "middle" : "end";
    const std::string turned = t.turned == 0 ? "" : " transform=\"rotate(" + number(-t.turned) + " " + number(t.at.x) + " " + number(t.at.y) + ")\"";
    out += "<text x=\"" + number(t.at.x) + "\" y=\"" + number(t.at.y) + "\"" + turned + " font-size=\"" + number(t.size) + "\" text-anchor=\"" + anchor +
           "\" fill=\"currentColor\">";
    // A subscript moves the line down; what stands behind it moves it up again.
    bool below = false;
    for (const TextRun& run : runsOf(t.text)) {
        const double down = t.size * kBelowDown;
        if (run.below)
            out += "<tspan dy=\"" + number(down) + "\" font-size=\"" + number(t.size * kBelowSize) + "\">" + htmlText(run.text) + "</tspan>";
        else if (below)
            out += "<tspan dy=\"" + number(-down) + "\">" + htmlText(run.text) + "</tspan>";
        else
            out += htmlText(run.text);
        below = run.below;
    }
    out += "</text>\n";
}

void put(const Drawing::Strokes& s, const std::string&, std::string& out) {
    out += "<path fill=\"none\" stroke=\"currentColor\" stroke-width=\"" + number(s.width) + "\"" + opacity(s.ink) + " d=\"";
    for (std::size_t i = 0; i + 1 < s.ends.size(); i += 2)
        out += (i == 0 ? "M" : " M") + number(s.ends[i].x) + "," + number(s.ends[i].y) + " L" + number(s.ends[i + 1].x) + "," + number(s.ends[i + 1].y);
    out += "\"/>\n";
}

void put(const Drawing::Filled& f, const std::string&, std::string& out) {
    out += "<polygon fill=\"currentColor\" points=\"";
    for (std::size_t i = 0; i < f.points.size(); ++i) out += (i == 0 ? "" : " ") + number(f.points[i].x) + "," + number(f.points[i].y);
    out += "\"/>\n";
}

bool hatches(const Drawing& d) {
    for (const Drawing::Shape& s : d.shapes) {
        if (const auto* r = std::get_if<Drawing::Rect>(&s); r != nullptr && r->hatched) return true;
    }
    return false;
}

} // namespace

std::string writeSvg(const Drawing& d, const std::string& idPrefix, bool standalone) {
    std::string out;
    if (standalone) out += "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n";
    out += "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" width=\"" + number(d.width) + "\" height=\"" + number(d.height) + "\" viewBox=\"0 0 " +
           number(d.width) + " " + number(d.height) + "\" font-family=\"sans-serif\"" + (standalone ? " color=\"black\"" : "") + ">\n<title>" +
           htmlText(d.title) + "</title>\n";
    if (hatches(d)) {
        out += "<defs><pattern id=\"" + idPrefix + "-hatch\" width=\"5\" height=\"5\" patternUnits=\"userSpaceOnUse\">" +
               "<path d=\"M-1,6 L6,-1\" stroke=\"currentColor\" stroke-width=\"0.8\" fill=\"none\"/></pattern></defs>\n";
    }
    for (const Drawing::Shape& s : d.shapes) {
        std::visit([&](const auto& shape) { put(shape, idPrefix, out); }, s);
    }
    return out + "</svg>\n";
}

} // namespace spanwright::report
