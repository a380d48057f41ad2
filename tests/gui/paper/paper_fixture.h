// SPDX-License-Identifier: MIT
#pragma once

// What tests of pages share: documents to be set, and what may be expected of every page.
#include <QTest>

#include <set>

#include "engine/io/files.h"
#include "engine/report/build.h"
#include "gui/paper/page_book.h"

namespace spanwright::paper::trial {

inline constexpr qreal kSlack = paper::points(0.5);

inline PageFormat formatOf(report::PaperWriter::Size size) {
    PageFormat f;
    f.size = size;
    return f;
}

/// All of the example.
inline const report::JobFacts& exampleFacts() {
    static const report::JobFacts kFacts = [] {
        io::Disk disk;
        job::Options options;
        options.library = SPANWRIGHT_SOURCE_DIR "/sheets";
        const auto job = job::Job::open(disk, SPANWRIGHT_SOURCE_DIR "/examples/packing-shed/packing-shed.spanjob", options);
        report::Want want;
        want.rows = want.workings = true;
        report::JobFacts facts = report::gather(*job, want);
        return facts;
    }();
    return kFacts;
}

/// The members of these marks, with cover and contents.
inline report::Document exampleOf(const std::set<std::string>& marks) {
    report::ReportScope scope;
    for (std::size_t i = 0; i < exampleFacts().members.size(); ++i)
        if (marks.count(exampleFacts().members[i].view.mark) > 0) scope.members.push_back(i);
    return report::reportDocument(exampleFacts(), scope);
}

inline QString wordsOf(const PageBook& book, int page) {
    QStringList out;
    for (const Mark& m : book.marks(page))
        if (const auto* t = std::get_if<Mark::Text>(&m.is)) out << t->text;
    return out.join(QLatin1Char('\n'));
}

/// What stands lowest in the body.
inline QString lastWords(const PageBook& book, int page) {
    QString out;
    qreal lowest = 0;
    for (const Mark& m : book.marks(page)) {
        const auto* t = std::get_if<Mark::Text>(&m.is);
        if (t == nullptr || t->base.y() > book.format().body().bottom() || t->base.y() <= lowest) continue;
        lowest = t->base.y();
        out = t->text;
    }
    return out;
}

/// Also for lines, which have no area.
inline bool within(const QRectF& outer, const QRectF& inner) {
    return inner.left() >= outer.left() && inner.right() <= outer.right() && inner.top() >= outer.top() && inner.bottom() <= outer.bottom();
}

/// Nothing on the paper outside the body but the foot line and the margin for remarks.
inline void insideThePaper(const PageBook& book) {
    const QRectF body = book.format().body();
    const QRectF wide = body.adjusted(-kSlack, -kSlack, kSlack, kSlack);
    const QRectF foot(body.left() - kSlack, body.bottom(), body.width() + 2 * kSlack, paper::millimetres(9));
    const QRectF margin = book.format().remarks().adjusted(-paper::millimetres(2), -kSlack, 0, kSlack);
    QVERIFY(QRectF({}, book.format().paper()).contains(margin.united(foot)));
    for (int page = 0; page < book.pageCount(); ++page) {
        for (const Mark& m : book.marks(page)) {
            const bool inside = within(wide, m.extent) || within(foot, m.extent) || within(margin, m.extent);
            if (inside) continue;
            const auto* t = std::get_if<Mark::Text>(&m.is);
            QFAIL(qPrintable(QStringLiteral("page %1, mark of kind %2 at %3,%4 %5x%6 %7")
                                 .arg(page + 1)
                                 .arg(m.is.index())
                                 .arg(m.extent.x())
                                 .arg(m.extent.y())
                                 .arg(m.extent.width())
                                 .arg(m.extent.height())
                                 .arg(t != nullptr ? t->text : QString())));
        }
    }
}

/// No text stands on another.
inline void apart(const PageBook& book) {
    for (int page = 0; page < book.pageCount(); ++page) {
        std::vector<std::pair<QRectF, QString>> seen;
        for (const Mark& m : book.marks(page)) {
            const auto* t = std::get_if<Mark::Text>(&m.is);
            if (t == nullptr) continue;
            const qreal inset = std::min(m.extent.height() * 0.22, m.extent.width() * 0.2);
            const QRectF core = m.extent.adjusted(inset, inset, -inset, -inset);
            for (const auto& [other, text] : seen)
                QVERIFY2(!core.intersects(other), qPrintable(QStringLiteral("page %1: \"%2\" on \"%3\"").arg(page + 1).arg(t->text, text)));
            seen.emplace_back(core, t->text);
        }
    }
}

inline report::Block paragraph(const std::string& text) { return {report::Paragraph{{report::plainText(text)}}}; }

inline report::Document oneSection(std::vector<report::Block> blocks, bool calculation = false) {
    report::Document d;
    d.title = "Trial";
    d.identity = "Trial, revision A";
    d.fingerprint = "ABC-DEF-GHJ";
    report::Section s;
    s.id = "m1";
    s.mark = "J1";
    s.running = "EN 1995-1-1:2004";
    s.calculation = calculation;
    s.blocks = std::move(blocks);
    d.sections.push_back(std::move(s));
    return d;
}

} // namespace spanwright::paper::trial
