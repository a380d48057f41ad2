// SPDX-License-Identifier: MIT
// Formulas between members: `with w_G = J1.R_G/J1.s`.
#include "engine/base/text.h"
#include "engine/meaning/typing.h"
#include "engine/units/format.h"

namespace spanwright::meaning {

using diag::Code;
using syntax::Node;
using syntax::NodeKind;
using syntax::Tag;

namespace {

class LinkTyper final : public FormulaTyper {
public:
    LinkTyper(Link& link, Interner& interner, TextPool& texts, std::string file, const FindReference& find, std::vector<diag::Diagnostic>& out)
        : FormulaTyper(link.exprs, interner, texts, std::move(file), out), m_link(link), m_find(find) {}

    /// `t` times the rate that brings it to `wanted`, or `t` itself where no rate does.
    Typed converted(Typed t, SharedDimension wanted, const std::vector<Rate>& rates, const syntax::Formula& f) {
        if (at(t).type != Type::Number || at(t).dimension == wanted) return t;
        for (const Rate& r : rates) {
            const units::Dimension there = r.to.over(r.from);
            const bool forwards = at(t).dimension->times(there) == *wanted;
            const bool backwards = !forwards && at(t).dimension->over(there) == *wanted;
            if (!forwards && !backwards) continue;
            const Node whole = f.top();
            Typed factor;
            Expr& c = make(ExprKind::Constant, whole, factor);
            c.value = forwards ? r.perOne : 1.0 / r.perOne;
            c.dimension = m_interner.dimension(forwards ? there : r.from.over(r.to));
            const units::Unit unit = m_interner.habitual(c.dimension);
            c.writtenUnit = m_interner.unit(unit);
            c.writtenText = units::showNumber(c.value, unit, {8, {}, {}});
            Typed product;
            Expr& e = make(ExprKind::Multiply, whole, product);
            e.children = {t.id, factor.id};
            e.dimension = wanted;
            e.tag = at(t).tag;
            return product;
        }
        return t;
    }

protected:
    Typed typeName(const Node& n) override {
        if (const Typed bound = boundOrNothing(n); bound.id.valid()) return bound;
        if (const Typed constant = constantOrNothing(n); constant.id.valid()) return constant;
        const std::size_t dot = n.text.find('.');
        if (dot == std::string::npos) return reference({}, n.text, n);
        return reference(n.text.substr(0, dot), n.text.substr(dot + 1), n);
    }

    Typed typeField(const Node& n) override {
        const Node& of = node(n.children[0]);
        if (of.kind == NodeKind::Name) return reference(of.text, n.text, n);
        fail(Code::TypeMismatch, n.mark, "only a member has values to name", "write MEMBER.NAME, as in J1.R_G");
        return wild(n);
    }

    Typed typeOtherCall(const Node& n) override {
        const auto near = base::nearest(n.text, languageFunctions());
        fail(Code::UnknownFunction, n.mark, "there is no function " + quoted(n.text) + " here",
             near ? "did you mean " + quoted(*near) + "?"
                  : "a link may use the functions of the language; tables and functions of a sheet belong to that sheet");
        return wild(n);
    }

    Typed typeFieldCall(const Node& n) override {
        fail(Code::UnknownFunction, n.mark, "a beam cannot be asked from another member",
             "give the value a row of its own in that member's sheet and link to it");
        return wild(n);
    }

    Typed typeLookup(const Node& n, Lookup) override {
        fail(Code::UnknownFunction, n.mark, quoted(n.text) + " cannot stand in a link: tables belong to a sheet",
             "look the value up in the sheet and link to the row");
        return wild(n);
    }

    QuantityId axisNamed(const Node& over) override {
        fail(Code::AxisMisuse, over.span, "a link has no each rows to go over", "reduce the value in its own sheet: largest(..., over " + over.text + ")");
        return {};
    }

    const units::Unit* shownUnit(const Expr& e) const override { return e.kind == ExprKind::External ? &m_link.references[e.index].unit : nullptr; }
    std::string nameOfQuantity(QuantityId id) const override {
        for (const Reference& r : m_link.references) {
            if (r.quantity == id) return r.path;
        }
        return {};
    }
    void functionNames(std::vector<std::string>&) const override {}
    bool isNameHere(std::string_view) const override { return false; }
    bool axesIncomplete() const override { return false; }

private:
    Typed reference(const std::string& member, const std::string& name, const Node& n) {
        const std::string path = member.empty() ? name : member + "." + name;
        std::uint32_t index = 0;
        while (index < m_link.references.size() && m_link.references[index].path != path) ++index;
        if (index == m_link.references.size()) {
            std::vector<std::string> near;
            auto found = m_find(member, name, near);
            if (!found) {
                tellUnknown(member, name, near, n);
                return wild(n);
            }
            found->path = path;
            m_link.references.push_back(std::move(*found));
        }
        const Reference& r = m_link.references[index];
        Typed t;
        Expr& e = make(ExprKind::External, n, t);
        e.index = index;
        e.type = r.type == Type::Row ? Type::Text : r.type;
        e.dimension = m_interner.dimension(r.dimension);
        e.tag = r.tag;
        e.writtenText = path;
        t.factor = r.type == Type::Number && r.dimension.isNumber();
        return t;
    }

    void tellUnknown(const std::string& member, const std::string& name, const std::vector<std::string>& near, const Node& n) {
        setFailed();
        for (const auto& d : m_told) {
            if (d == member + "." + name) return;
        }
        m_told.push_back(member + "." + name);
        std::string mend;
        if (member.empty()) {
            const auto guess = base::nearest(name, near);
            if (units::findUnit(name))
                mend = quoted(name) + " is a unit: units stand behind a number, as in 1 " + name;
            else if (guess)
                mend = "did you mean " + quoted(*guess) + "?";
            else
                mend = "name a value of another member, as in J1.R_G, or a given of the job";
            fail(Code::UnknownName, n.mark.empty() ? n.span : n.mark, "the job has no given " + quoted(name), mend);
            return;
        }
        // `near` holds what the member has; or, when there is no such member, the marks there are
        const auto guess = base::nearest(name, near);
        const auto mark = base::nearest(member, near);
        if (mark)
            mend = "did you mean " + quoted(*mark + "." + name) + "?";
        else if (guess)
            mend = "did you mean " + quoted(member + "." + *guess) + "?";
        else
            mend = "`spanwright check` lists the members and their values";
        fail(Code::UnknownName, n.mark.empty() ? n.span : n.mark, "the job has no value " + quoted(member + "." + name), mend);
    }

    Link& m_link;
    const FindReference& m_find;
    std::vector<std::string> m_told;
};

} // namespace

std::optional<Link> analyseLink(const syntax::Formula& formula, const syntax::Document& document, std::uint32_t row, const Quantity* target,
                                const FindReference& find, TextPool& texts, std::vector<diag::Diagnostic>& out, const std::vector<Rate>& rates) {
    Link link;
    auto interner = std::make_shared<Interner>();
    link.exprs.keep = interner;
    LinkTyper typer(link, *interner, texts, document.file(), find, out);
    typer.beginRow(row);
    Typed t = typer.formula(formula);
    if (!typer.failed() && target != nullptr && target->type == Type::Number) t = typer.converted(t, interner->dimension(target->dimension), rates, formula);
    link.root = t.id;
    if (typer.failed()) return {};
    if (target == nullptr) return link;

    const std::string whose = "`" + target->name + "`";
    const Expr& e = typer.at(t);
    switch (target->type) {
    case Type::Number:
        if (!typer.wantDimension(t, interner->dimension(target->dimension),
                                 target->unit.shown.empty() ? typer.unitText(interner->dimension(target->dimension)) : target->unit.shown, formula.span, whose))
            return {};
        break;
    case Type::Truth:
        if (!typer.wantTruth(t, formula.span, whose)) return {};
        break;
    case Type::Text:
    case Type::Row:
        typer.asText(t);
        if (typer.at(t).type != Type::Text) {
            typer.fail(Code::TypeMismatch, formula.span, whose + " wants " + (target->type == Type::Row ? "the key of a row" : "a text"),
                       "write it as it stands in the table");
            return {};
        }
        break;
    case Type::Nothing: break;
    }
    // a plain value takes the tag of what it states; a value of another row must carry it already
    if (!link.references.empty() && target->type == Type::Number && e.tag != target->tag) {
        const auto as = [](Tag tag) { return tag == Tag::Design ? "as design" : "as characteristic"; };
        std::string mend;
        if (e.tag == Tag::None)
            mend = std::string("declare the value that it comes from `") + as(target->tag) + "`, if that is what it is";
        else if (target->tag == Tag::None)
            mend = "declare " + whose + " `" + as(e.tag) + "` in its sheet, or link to a value without a tag";
        else
            mend = "link to " + tagWords(target->tag) + " of that member, so that no factor counts twice";
        typer.fail(Code::TagMismatch, formula.span, whose + " wants " + tagWords(target->tag) + ", and this is " + tagWords(e.tag), mend);
        return {};
    }
    return link;
}

} // namespace spanwright::meaning
