// SPDX-License-Identifier: MIT
// How the leaves of a formula are called: in a sheet, in a link.
#include "engine/meaning/typeset.h"
#include "engine/meaning/words.h"

namespace spanwright::meaning {

Naming namingOf(const Sheet& sheet) {
    Naming naming;
    naming.leaf = [&sheet](const Expr& e) -> std::string {
        const auto column = [&](const std::shared_ptr<const Table>& table) {
            return table && e.index < table->columns.size() ? table->columns[e.index].name : std::string("?");
        };
        switch (e.kind) {
        case ExprKind::Quantity:
        case ExprKind::ChoiceKey:
        case ExprKind::AxisKey:
        case ExprKind::Reduce: return sheet.at(e.quantity).name;
        case ExprKind::ChoiceField:
        case ExprKind::AxisField: return sheet.at(e.quantity).name + "." + column(sheet.at(e.quantity).table);
        case ExprKind::UserCall: return sheet.functions[e.function.index()].name;
        case ExprKind::TableField: return sheet.tables[e.table.index()]->name + "." + column(sheet.tables[e.table.index()]);
        case ExprKind::MatrixField: return sheet.tables[e.table.index()]->name;
        case ExprKind::BeamValue: {
            const Quantity& beam = sheet.at(e.quantity);
            std::string name = beam.name + "." + wordOf(e.beamValue);
            if (e.factors.from == Factors::From::OneAction && e.factors.action < sheet.beams[beam.beam].actions.size())
                name += "," + sheet.beams[beam.beam].actions[e.factors.action];
            if (e.factors.row.valid()) name += "," + sheet.at(e.factors.row).name;
            return name;
        }
        default: return e.writtenText;
        }
    };
    return naming;
}

Naming namingOf(const Link& link) {
    Naming naming;
    naming.leaf = [&link](const Expr& e) -> std::string {
        return e.kind == ExprKind::External && e.index < link.references.size() ? link.references[e.index].path : e.writtenText;
    };
    return naming;
}

} // namespace spanwright::meaning
