// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "engine/base/ids.h"
#include "engine/base/span.h"
#include "engine/diag/codes.h"

namespace spanwright::syntax {

struct NodeTag {};
using NodeId = base::Id<NodeTag>;

enum class NodeKind : std::uint8_t {
    Error,     ///< something unreadable was here; a diagnostic says what
    Number,    ///< text = the literal as written ("0.2")
    Measure,   ///< number with one simple unit: text = literal, unit as written ("mm", "m^2"), its bytes unitSpan;
               ///< also a bracketed compound one, 9.81 (m/s^2)
    Value,     ///< only where a value can stand (ask, given, limits, cells, with): the whole text reads like a
               ///< value (`1.5 kN/m^2`, `14 ft 6 in`, `3,6 m`, `5 1/2 in`), text = that text, to be read by units::readValue.
               ///< children[0], if any, is the same text read as an ordinary formula: used when a word in it turns
               ///< out to be no unit but a name (`2 m*k`)
    Text,      ///< text = content without quotes
    Name,      ///< text = canonical name (Greek letters spelled: "sigma_m"); or a member-qualified path in a job
    Field,     ///< children[0] . text      grade.f_mk, uls.G, J1.R_G
    Negate,    ///< -children[0]
    Not,       ///< not children[0]
    Binary,    ///< op, children[0], children[1]
    Call,      ///< text(children...)       min(a, b), h_x(x), k_mod_solid(service, uls.duration)
    FieldCall, ///< children[0].text(children[1...])    B.M(x, uls)
    Range,     ///< text from children[0] to children[1] [to ...]     x from 0 m to x_r to L
    Over,      ///< over text               in largest(M_d, over uls)
    Paren,     ///< ( children[0] ) as written
};

enum class Op : std::uint8_t { None, Add, Subtract, Multiply, Divide, Power, Less, LessEqual, Greater, GreaterEqual, Equal, NotEqual, And, Or };

struct Node {
    NodeKind kind = NodeKind::Error;
    Op op = Op::None;
    base::ByteSpan span;     ///< whole node, within the row's text
    base::ByteSpan mark;     ///< the operator, the function's name, the field after the dot ...
    base::ByteSpan unitSpan; ///< Measure: the unit's bytes
    std::string text;
    std::string unit; ///< Measure: the unit as written, brackets taken off: "mm", "m^2", "m/s^2", "%"
    std::vector<NodeId> children;
    friend bool operator==(const Node&, const Node&) = default;
};

/// A formula as a flat tree; nodes stand after their children, the root is last. Empty if absent.
struct Formula {
    std::vector<Node> nodes;
    NodeId root;
    base::ByteSpan span; ///< within the row's text, without blanks at the ends

    [[nodiscard]] bool present() const { return root.valid(); }
    [[nodiscard]] const Node& node(NodeId id) const { return nodes[id.index()]; }
    [[nodiscard]] const Node& top() const { return nodes[root.index()]; }
    friend bool operator==(const Formula&, const Formula&) = default;
};

/// What a reader of rows or formulas has to say; the document turns it into diag::Diagnostic.
struct Complaint {
    diag::Code code{};
    base::ByteSpan span; ///< within the row's text
    std::string message;
    std::string mend;
    friend bool operator==(const Complaint&, const Complaint&) = default;
};

/// Reads a formula that stands alone (a grid cell, a `--set` value, a job's `with`), as if it were a
/// row of its own. Unary minus binds looser than ^ (-x^2 is -(x^2)); ^ is right-associative; * and /
/// left; comparisons do not chain; nesting beyond kMaxNesting is refused, not overflowed.
[[nodiscard]] Formula readFormula(std::string_view text, std::vector<Complaint>& complaints);
/// The same where a value can stand: may give a Value node.
[[nodiscard]] Formula readValueOrFormula(std::string_view text, std::vector<Complaint>& complaints);

inline constexpr int kMaxNesting = 200;
inline constexpr std::size_t kMaxFormulaBytes = 20'000;

/// The tree as brackets: `a + 2 m` gives "(+ a <2 m>)". For tests and bug reports.
[[nodiscard]] std::string dump(const Formula& formula);

/// The name as the engine knows it: Greek letters spelled out in ASCII ("σ_m" -> "sigma_m").
[[nodiscard]] std::string canonicalName(std::string_view name);

/// True for a well-formed name (not a reserved word of the language).
[[nodiscard]] bool isName(std::string_view text);

/// Words that cannot be names: if and or not from to by over as in only otherwise each span ...
[[nodiscard]] const std::vector<std::string>& reservedWords();

} // namespace spanwright::syntax
