// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

#include "engine/diag/diagnostic.h"
#include "engine/meaning/interner.h"
#include "engine/meaning/sheet.h"

namespace spanwright::meaning {

/// What typing a node gave, besides the node itself.
struct Typed {
    ExprId id;
    /// Its dimension or type is not known because something in it is wrong and has been told: it fits
    /// everywhere, so that one cause gives one diagnostic.
    bool wild = false;
    /// The bare literal 0: fits any dimension.
    bool zero = false;
    /// Holds a pure-number quantity, choice or axis field (a factor): multiplying by it drops a tag.
    bool factor = false;
};

/// Turns syntax formulas into typed nodes: everything that does not depend on where names come from.
/// Sheets and links derive from it. Never fails: what is wrong goes to the diagnostics and sets failed().
class FormulaTyper {
public:
    FormulaTyper(ExprPool& pool, Interner& interner, TextPool& texts, std::string file, std::vector<diag::Diagnostic>& out)
        : m_pool(pool), m_interner(interner), m_texts(texts), m_file(std::move(file)), m_out(out) {}
    virtual ~FormulaTyper() = default;
    FormulaTyper(const FormulaTyper&) = delete;
    FormulaTyper& operator=(const FormulaTyper&) = delete;

    /// Begins a row: what is wrong from now on is placed in it.
    void beginRow(std::uint32_t row) {
        m_row = row;
        m_failed = false;
    }
    [[nodiscard]] bool failed() const { return m_failed; }
    void setFailed() { m_failed = true; }
    void clearFailed() { m_failed = false; }

    [[nodiscard]] Typed formula(const syntax::Formula& f);
    [[nodiscard]] const Expr& at(Typed t) const { return m_pool.at(t.id); }

    /// A bound variable of a range or a parameter of a function.
    struct Bound {
        std::string_view name;
        std::uint32_t slot = 0;
        SharedDimension dimension;
    };
    void bind(Bound b) { m_bounds.push_back(b); }
    void unbind() { m_bounds.pop_back(); }
    [[nodiscard]] std::uint32_t newSlot() { return m_slots++; }
    [[nodiscard]] std::uint32_t slotCount() const { return m_slots; }

    // ---- checks against what is wanted; `where` is the formula's span
    /// The formula must have the dimension `wanted`; `sentence` begins the message and gets "...: its formula gives kN/m".
    bool wantDimension(Typed t, SharedDimension wanted, const std::string& wantedUnit, base::ByteSpan where, const std::string& whose);
    bool wantNumber(Typed t, base::ByteSpan where);
    bool wantPureNumber(Typed t, base::ByteSpan where, const std::string& whose);
    bool wantTruth(Typed t, base::ByteSpan where, const std::string& whose);
    bool wantNoAxes(Typed t, base::ByteSpan where, const std::string& whose);
    /// Turns a chosen row into the text of its key.
    void asText(Typed t);

    diag::Diagnostic& fail(diag::Code code, base::ByteSpan span, std::string message, std::string mend = {});
    /// Two quantities of different dimensions meet. `what` says how: "cannot be added".
    void failUnlike(Typed a, Typed b, base::ByteSpan mark, const syntax::Node& n, const char* what);
    /// The unit in which somebody would speak of it: as declared or written, else by habit; "a pure number".
    [[nodiscard]] std::string unitOf(Typed t) const;
    [[nodiscard]] std::string unitText(SharedDimension d) const;
    /// In words, what must be multiplied to one of two unlike dimensions to make them alike.
    [[nodiscard]] std::string differenceOf(SharedDimension a, SharedDimension b) const;
    [[nodiscard]] diag::Place place(base::ByteSpan span) const { return {m_file, m_row, span}; }

    /// Reads a unit that stands at `span` of the row; tells what is wrong with it.
    [[nodiscard]] std::optional<units::Unit> unitAt(const std::string& text, base::ByteSpan span);
    /// A formula's own value, written where a value can stand: a bare number takes `assumed` (if any).
    [[nodiscard]] Typed limit(const syntax::Formula& f, const units::Unit* assumed);

    [[nodiscard]] Interner& interner() { return m_interner; }
    [[nodiscard]] ExprPool& pool() { return m_pool; }
    Expr& make(ExprKind kind, const syntax::Node& n, Typed& made);
    [[nodiscard]] Typed wild(const syntax::Node& n);

protected:
    // ---- where names come from
    [[nodiscard]] virtual Typed typeName(const syntax::Node& n) = 0;
    [[nodiscard]] virtual Typed typeField(const syntax::Node& n) = 0;
    /// A call that is no function of the language.
    [[nodiscard]] virtual Typed typeOtherCall(const syntax::Node& n) = 0;
    [[nodiscard]] virtual Typed typeFieldCall(const syntax::Node& n) = 0;
    /// interpolate(TABLE.column, key), at_or_below(TABLE.column, key)
    [[nodiscard]] virtual Typed typeLookup(const syntax::Node& n, Lookup how) = 0;
    /// The each row named; invalid and told if there is none.
    [[nodiscard]] virtual QuantityId axisNamed(const syntax::Node& over) = 0;
    /// The unit a quantity node shows; nothing if not known.
    [[nodiscard]] virtual const units::Unit* shownUnit(const Expr& e) const = 0;
    /// Says of an each row how it is called.
    [[nodiscard]] virtual std::string nameOfQuantity(QuantityId id) const = 0;
    /// Functions that a formula may call, for a suggestion.
    virtual void functionNames(std::vector<std::string>& into) const = 0;
    /// A row or a field is compared with a text: tells when nothing in its table reads like that.
    virtual void comparedWithText(Typed, const std::string&, base::ByteSpan) {}
    /// A row of this name can be meant in a formula here.
    [[nodiscard]] virtual bool isNameHere(std::string_view name) const = 0;
    /// True when a row that the formula reads is not typed yet (it lies on a ring): axes are then not complete.
    [[nodiscard]] virtual bool axesIncomplete() const = 0;

    [[nodiscard]] Typed type(syntax::NodeId id);
    [[nodiscard]] const syntax::Node& node(syntax::NodeId id) const { return m_formula->node(id); }
    [[nodiscard]] Typed boundOrNothing(const syntax::Node& n);
    [[nodiscard]] Typed constantOrNothing(const syntax::Node& n);
    [[nodiscard]] std::string sourceText(syntax::NodeId id) const;
    [[nodiscard]] std::string sourceText(const syntax::Node& n) const;
    /// The unit that a node spells, as in number(f, kN/m); empty text if it spells none.
    [[nodiscard]] std::string unitSpelled(syntax::NodeId id) const;
    void join(Expr& into, const Expr& from) { into.axes = m_interner.joined(into.axes, from.axes); }
    Expr& edit(Typed t) { return m_pool.nodes[t.id.index()]; }
    [[nodiscard]] static std::string quoted(std::string_view name) { return "`" + std::string(name) + "`"; }

    ExprPool& m_pool;
    Interner& m_interner;
    TextPool& m_texts;
    std::string m_file;
    std::vector<diag::Diagnostic>& m_out;
    const syntax::Formula* m_formula = nullptr;
    std::uint32_t m_row = 0;
    std::vector<Bound> m_bounds;

private:
    [[nodiscard]] Typed typeNumber(const syntax::Node& n);
    [[nodiscard]] Typed typeMeasure(const syntax::Node& n);
    [[nodiscard]] Typed typeValue(const syntax::Node& n);
    [[nodiscard]] Typed typeText(const syntax::Node& n);
    [[nodiscard]] Typed typeBinary(syntax::NodeId id);
    [[nodiscard]] Typed combine(const syntax::Node& n, Typed left, Typed right);
    [[nodiscard]] Typed addLike(const syntax::Node& n, Typed left, Typed right);
    [[nodiscard]] Typed multiply(const syntax::Node& n, Typed left, Typed right);
    [[nodiscard]] Typed power(const syntax::Node& n, Typed base, Typed exponent);
    [[nodiscard]] Typed compare(const syntax::Node& n, Typed left, Typed right);
    [[nodiscard]] Typed logic(const syntax::Node& n, Typed left, Typed right);
    [[nodiscard]] std::optional<units::Rational> exactNumber(syntax::NodeId id) const;
    // functions of the language: type_call.cpp, type_range.cpp
    [[nodiscard]] Typed typeCall(const syntax::Node& n);
    [[nodiscard]] Typed callBuiltin(const syntax::Node& n, Builtin b, std::size_t least, std::size_t most);
    [[nodiscard]] Typed roundToStep(const syntax::Node& n, Builtin b, Typed value, Typed step);
    [[nodiscard]] Typed callIf(const syntax::Node& n);
    [[nodiscard]] Typed callNumber(const syntax::Node& n);
    [[nodiscard]] Typed callReduction(const syntax::Node& n, std::string_view name);
    [[nodiscard]] Typed callRange(const syntax::Node& n, RangeOp op, const syntax::Node& range);
    [[nodiscard]] bool countArguments(const syntax::Node& n, std::size_t least, std::size_t most);
    /// Makes a and b agree in type, dimension and tag, or tells why not.
    bool unify(Typed a, Typed b, base::ByteSpan mark, const syntax::Node& n, const char* what, bool truthsToo);
    [[nodiscard]] syntax::Tag agreedTag(Typed a, Typed b, const syntax::Node& n);

    bool m_failed = false;
    std::uint32_t m_slots = 0;
};

/// "a characteristic value", "a design value", "a value without a tag".
[[nodiscard]] std::string tagWords(syntax::Tag tag);
/// The functions of the language, in the order of the reference.
[[nodiscard]] const std::vector<std::string>& languageFunctions();
[[nodiscard]] bool isLanguageFunction(std::string_view name);
[[nodiscard]] bool isConstantName(std::string_view name);

} // namespace spanwright::meaning
