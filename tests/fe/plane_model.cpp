// SPDX-License-Identifier: MIT
#include "tests/fe/plane_model.h"

#include <array>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <map>
#include <sstream>
#include <stdexcept>

namespace spanwright::fe {

namespace {

constexpr double kThickness = 10.0;           ///< of all elements; moduli are weighted to it
constexpr double kStiffener = 11000.0 * 60.0; ///< upright stiffness of stiffeners over supports, modulus times thickness
constexpr double kPoisson = 0.05;

enum class Zone : std::uint8_t { LowSolid, LowGlued, Web, TopGlued, TopSolid };

struct Point {
    double x = 0, y = 0;
};

class Mesh {
public:
    explicit Mesh(const Beam& beam) : m_beam(beam) {
        const int solid = beam.flangeDepth - beam.glueDepth > 1e-9 ? 1 : 0;
        for (int i = 0; i < 2 * solid; ++i) m_rows.push_back(Zone::LowSolid);
        for (int i = 0; i < 2; ++i) m_rows.push_back(Zone::LowGlued);
        for (int i = 0; i < 6; ++i) m_rows.push_back(Zone::Web);
        for (int i = 0; i < 2; ++i) m_rows.push_back(Zone::TopGlued);
        for (int i = 0; i < 2 * solid; ++i) m_rows.push_back(Zone::TopSolid);
        m_flangeRows = 2 + 2 * solid;
        m_columns = static_cast<int>(std::lround(beam.length / beam.column));
        for (int i = 0; i < m_columns; ++i) addColumn(i);
    }

    void write(std::ostream& out) const {
        out.precision(10);
        out << "*NODE,NSET=ALL\n";
        for (std::size_t n = 0; n < m_points.size(); ++n) out << n + 1 << ',' << m_points[n].x << ',' << m_points[n].y << ",0\n";
        out << "*ELEMENT,TYPE=CPS8,ELSET=EALL\n";
        for (std::size_t e = 0; e < m_elements.size(); ++e) {
            out << e + 1;
            for (const int n : m_elements[e]) out << ',' << n;
            out << '\n';
        }
        for (const auto& [name, set] : m_sets) {
            out << "*ELSET,ELSET=" << name << '\n';
            for (const int e : set.elements) out << e << ",\n";
            writeMaterial(out, name, set);
        }
        out << "*BOUNDARY\n";
        for (const double s : m_beam.supports) out << supportNode(s) << ",2,2,0\n";
        out << supportNode(m_beam.supports.front()) << ",1,1,0\n*NSET,NSET=SUP\n";
        for (const double s : m_beam.supports) out << supportNode(s) << ",\n";
        out << "*STEP\n*STATIC\n*CLOAD\n";
        // Line load on the top edge of a quadratic element: 1/6, 4/6, 1/6.
        std::map<int, double> loads;
        for (int i = 0; i < m_columns; ++i)
            for (const auto& [k, share] : std::array<std::pair<int, double>, 3>{{{0, 1.0 / 6}, {1, 4.0 / 6}, {2, 1.0 / 6}}})
                loads[at(2 * i + k, topLine())] -= lineLoadOn(i) * m_beam.length / m_columns * share;
        for (const auto& [n, force] : loads) out << n << ",2," << force << '\n';
        out << "*NODE PRINT,NSET=ALL\nU\n*NODE PRINT,NSET=SUP\nRF\n*END STEP\n";
    }

    [[nodiscard]] Answer read(std::istream& in) const {
        std::map<int, Point> moved, forces;
        std::map<int, Point>* into = nullptr;
        for (std::string line; std::getline(in, line);) {
            if (line.find("displacements") != std::string::npos) into = &moved;
            if (line.find("forces") != std::string::npos) into = &forces;
            std::istringstream words(line);
            int n = 0;
            Point p;
            double z = 0;
            if (into != nullptr && words >> n >> p.x >> p.y >> z) (*into)[n] = p;
        }
        if (moved.size() != m_points.size() || forces.size() != m_beam.supports.size()) throw std::runtime_error("the answer is not whole");
        Answer a;
        for (const double s : m_beam.supports) a.reactions.push_back(forces.at(supportNode(s)).y);
        for (int i = 0; i <= m_columns; ++i) {
            const int n = at(2 * i, 2 * m_flangeRows);
            a.x.push_back(m_points[static_cast<std::size_t>(n - 1)].x);
            a.sag.push_back(-moved.at(n).y);
            if (i == 0 || i == m_columns) {
                for (auto* v : {&a.lowMean, &a.topMean, &a.lowEdge, &a.topEdge}) v->emplace_back();
                continue;
            }
            a.lowMean.emplace_back(mean(moved, i, 0, false));
            a.topMean.emplace_back(mean(moved, i, topLine(), true));
            a.lowEdge.emplace_back(m_beam.flangeE * strain(moved, i, 0));
            a.topEdge.emplace_back(m_beam.flangeE * strain(moved, i, topLine()));
        }
        return a;
    }

private:
    struct Set {
        Zone zone{};
        bool right = false, stiffened = false;
        std::vector<int> elements;
    };

    [[nodiscard]] int topLine() const { return 2 * static_cast<int>(m_rows.size()); }

    /// Height of line j (two a row) at x.
    [[nodiscard]] double height(double x, int line) const {
        const double h = m_beam.depth(x), solid = m_beam.flangeDepth - m_beam.glueDepth;
        double y = 0;
        for (int r = 0; r < static_cast<int>(m_rows.size()); ++r) {
            double t = 0;
            switch (m_rows[static_cast<std::size_t>(r)]) {
            case Zone::LowSolid:
            case Zone::TopSolid: t = solid / 2; break;
            case Zone::LowGlued:
            case Zone::TopGlued: t = m_beam.glueDepth / 2; break;
            case Zone::Web: t = (h - 2 * m_beam.flangeDepth) / 6; break;
            }
            if (line <= 2 * r) return y;
            if (line == 2 * r + 1) return y + t / 2;
            y += t;
        }
        return y;
    }

    int node(int across, int line) {
        const auto key = std::pair{across, line};
        const auto found = m_nodes.find(key);
        if (found != m_nodes.end()) return found->second;
        const double x = m_beam.length * across / (2.0 * m_columns);
        m_points.push_back({x, height(x, line)});
        return m_nodes[key] = static_cast<int>(m_points.size());
    }

    [[nodiscard]] int at(int across, int line) const { return m_nodes.at({across, line}); }

    [[nodiscard]] bool isAt(double x, double place) const { return std::abs(x - place) < m_beam.bearing / 2; }

    /// Line load on column i, with the forces spread over their bearings.
    [[nodiscard]] double lineLoadOn(int i) const {
        double load = m_beam.lineLoad;
        for (const Beam::Force& f : m_beam.forces)
            if (isAt(m_beam.length * (i + 0.5) / m_columns, f.at)) load += f.size / m_beam.bearing;
        return load;
    }

    void addColumn(int i) {
        const double middle = m_beam.length * (i + 0.5) / m_columns;
        bool stiffened = false;
        for (const double s : m_beam.supports) stiffened = stiffened || isAt(middle, s);
        for (const Beam::Force& f : m_beam.forces) stiffened = stiffened || isAt(middle, f.at);
        for (int r = 0; r < static_cast<int>(m_rows.size()); ++r) {
            const int a = 2 * i, b = 2 * r;
            m_elements.push_back(
                {node(a, b), node(a + 2, b), node(a + 2, b + 2), node(a, b + 2), node(a + 1, b), node(a + 2, b + 1), node(a + 1, b + 2), node(a, b + 1)});
            const Zone zone = m_rows[static_cast<std::size_t>(r)];
            const bool right = middle > m_beam.ridge;
            const std::string name = "Z" + std::to_string(static_cast<int>(zone)) + (right ? "R" : "L") + (stiffened ? "S" : "");
            Set& set = m_sets[name];
            set.zone = zone;
            set.right = right;
            set.stiffened = stiffened;
            set.elements.push_back(static_cast<int>(m_elements.size()));
        }
    }

    void writeMaterial(std::ostream& out, const std::string& name, const Set& set) const {
        const bool solid = set.zone == Zone::LowSolid || set.zone == Zone::TopSolid, webOnly = set.zone == Zone::Web;
        const double timber = webOnly ? 0 : (solid ? m_beam.timber : m_beam.timberGlued), web = solid ? 0 : m_beam.web;
        const double along = (m_beam.flangeE * timber + m_beam.webE * web) / kThickness;
        const double upright = (m_beam.flangeE90 * timber + m_beam.webE90 * web + (set.stiffened ? kStiffener : 0)) / kThickness;
        const double shear = (m_beam.flangeG * timber + m_beam.webG * web) / kThickness;
        double slope = 0;
        if (set.zone == Zone::TopSolid || set.zone == Zone::TopGlued) {
            const double from = set.right ? std::max(m_beam.ridge, 0.0) : 0, to = set.right ? m_beam.length : std::min(m_beam.ridge, m_beam.length);
            slope = (m_beam.depth(to) - m_beam.depth(from)) / (to - from);
        }
        out << "*MATERIAL,NAME=M" << name << "\n*ELASTIC,TYPE=ENGINEERING CONSTANTS\n"
            << along << ',' << upright << ',' << upright << ',' << kPoisson << ',' << kPoisson << ',' << kPoisson << ',' << shear << ',' << shear << ",\n"
            << shear << "\n*ORIENTATION,NAME=O" << name << ",SYSTEM=RECTANGULAR\n1," << slope << ",0," << -slope << ",1,0\n*SOLID SECTION,ELSET=" << name
            << ",MATERIAL=M" << name << ",ORIENTATION=O" << name << '\n'
            << kThickness << '\n';
    }

    [[nodiscard]] int supportNode(double s) const { return at(static_cast<int>(std::lround(s / m_beam.length * 2 * m_columns)), 2 * m_flangeRows); }

    /// Strain along line `line` at column corner i, from the neighbouring corners.
    [[nodiscard]] double strain(const std::map<int, Point>& moved, int i, int line) const {
        const int a = at(2 * i - 2, line), b = at(2 * i + 2, line);
        const Point &p = m_points[static_cast<std::size_t>(a - 1)], &q = m_points[static_cast<std::size_t>(b - 1)];
        const double dx = q.x - p.x, dy = q.y - p.y;
        return ((moved.at(b).x - moved.at(a).x) * dx + (moved.at(b).y - moved.at(a).y) * dy) / (dx * dx + dy * dy);
    }

    /// Mean stress of a flange's timber: Simpson's rule through each of its elements.
    [[nodiscard]] double mean(const std::map<int, Point>& moved, int i, int outerLine, bool fromTop) const {
        double force = 0, area = 0;
        for (int r = 0; r < m_flangeRows; ++r) {
            const int way = fromTop ? -1 : 1, line = outerLine + way * 2 * r;
            const bool solid = m_flangeRows > 2 && r < 2;
            const double t = solid ? m_beam.timber : m_beam.timberGlued;
            const double d = solid ? (m_beam.flangeDepth - m_beam.glueDepth) / 2 : m_beam.glueDepth / 2;
            force += m_beam.flangeE * t * d / 6 * (strain(moved, i, line) + 4 * strain(moved, i, line + way) + strain(moved, i, line + 2 * way));
            area += t * d;
        }
        return force / area;
    }

    const Beam& m_beam;
    std::vector<Zone> m_rows;
    int m_flangeRows = 0, m_columns = 0;
    std::map<std::pair<int, int>, int> m_nodes;
    std::vector<Point> m_points;
    std::vector<std::array<int, 8>> m_elements;
    std::map<std::string, Set> m_sets;
};

} // namespace

Answer solve(const Beam& beam, const std::string& ccx, const std::string& folder, const std::string& name) {
    const Mesh mesh(beam);
    std::filesystem::create_directories(folder);
    const std::filesystem::path base = std::filesystem::path(folder) / name;
    std::filesystem::remove(base.string() + ".dat");
    {
        std::ofstream out(base.string() + ".inp");
        mesh.write(out);
        if (!out) throw std::runtime_error("cannot write " + base.string() + ".inp");
    }
    const std::string command = "cd '" + folder + "' && '" + ccx + "' -i " + name + " > " + name + ".log 2>&1";
    if (std::system(command.c_str()) != 0) throw std::runtime_error("the finite-element program stopped, see " + base.string() + ".log");
    std::ifstream in(base.string() + ".dat");
    if (!in) throw std::runtime_error("no answer in " + base.string() + ".dat");
    return mesh.read(in);
}

} // namespace spanwright::fe
