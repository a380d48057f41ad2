// SPDX-License-Identifier: MIT
#include <QTest>
#include <QTextDocument>

#include <random>

#include "gui/editor/text_buffer.h"
#include "gui/models/text.h"
#include "tests/gui/test_list.h"
#include "tests/gui/shelf_job.h"

using namespace spanwright;
using editor::TextBuffer;

namespace {

/// The buffer is what a fresh reading of its bytes is.
void compare(const TextBuffer& buffer) {
    const auto fresh = syntax::Document::read("t", buffer.document().kind(), buffer.bytes());
    QCOMPARE(QString::fromStdString(syntax::dump(buffer.document())), QString::fromStdString(syntax::dump(fresh)));
    QCOMPARE(QString::fromStdString(buffer.document().text()), QString::fromStdString(buffer.bytes()));
    TextBuffer again;
    again.load("t", buffer.document().kind(), buffer.bytes());
    QCOMPARE(buffer.shown(), again.shown());
}

} // namespace

class TextBufferTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void anEditChangesJustItsBytes() {
        TextBuffer buffer;
        buffer.load("t", syntax::FileKind::Job, "\xEF\xBB\xBFjob     T\r\nmember  J1 = x -- γ\r\n        with  L = 3 m\r\n");
        QCOMPARE(buffer.shown(), QStringLiteral("job     T\nmember  J1 = x -- γ\n        with  L = 3 m\n"));
        buffer.edit({buffer.shown().indexOf(QStringLiteral("3 m")), 1, QStringLiteral("4.25")});
        QVERIFY(buffer.bytes() == "\xEF\xBB\xBFjob     T\r\nmember  J1 = x -- γ\r\n        with  L = 4.25 m\r\n");
        compare(buffer);
        // A line of our own ends as the others do.
        buffer.edit({buffer.shown().size(), 0, QStringLiteral("        off 2\n")});
        QVERIFY(buffer.bytes().ends_with("4.25 m\r\n        off 2\r\n"));
        compare(buffer);
    }

    void oddCharactersStay() {
        const std::string odd = "# a\rb \xE2\x80\xA8 c \xE2\x80\xA9 d \xEF\xBF\xBC e \xF0\x9F\x8C\xB2 f\nmember J1 = x\n";
        TextBuffer buffer;
        buffer.load("t", syntax::FileKind::Job, odd);
        // What a document for editors makes of it is as long as what we say is shown.
        QTextDocument document;
        document.setPlainText(buffer.shown());
        QCOMPARE(document.characterCount() - 1, buffer.shown().size());
        QCOMPARE(document.blockCount(), 3);
        buffer.edit({buffer.shown().indexOf(QStringLiteral(" f\n")), 2, QStringLiteral(" g")});
        std::string wanted = odd;
        wanted.replace(wanted.find(" f\n"), 2, " g");
        QVERIFY(buffer.bytes() == wanted);
        compare(buffer);
    }

    void placesGoThereAndBack() {
        TextBuffer buffer;
        buffer.load("t", syntax::FileKind::Sheet, "sheet s\r\nderive  σ [kN] = (1 +\n  2)*γ\n\ntable t by a\na, b\n1, 2\nend\n");
        for (std::uint32_t row = 0; row < buffer.document().rows().size(); ++row)
            for (std::size_t at = 0; at < buffer.document().rows()[row].text.size(); ++at) {
                const char c = buffer.document().rows()[row].text[at];
                if ((static_cast<unsigned char>(c) & 0xC0U) == 0x80 || c == '\n') continue;
                const TextBuffer::Spot back = buffer.spotAt(buffer.shownAt(row, at));
                QCOMPARE(back.row, row);
                QCOMPARE(back.at, at);
            }
        QCOMPARE(buffer.rowOfLine(2), 1U); // an open bracket continues the row
        QCOMPARE(buffer.lineOfRow(2), 3U);
    }

    void randomEditsAreFreshReadings() {
        std::mt19937 random(20260504);
        const auto upTo = [&](qsizetype n) { return n <= 0 ? qsizetype(0) : static_cast<qsizetype>(random() % static_cast<unsigned>(n + 1)); };
        const QStringList bits{QStringLiteral("\n"),
                               QStringLiteral("("),
                               QStringLiteral(")"),
                               QStringLiteral("table t\n"),
                               QStringLiteral("end\n"),
                               QStringLiteral("γ"),
                               QStringLiteral("1 m"),
                               QStringLiteral("\""),
                               QStringLiteral("beam B from 0 m to L\n"),
                               QStringLiteral(" -- "),
                               QStringLiteral("derive x = 2\nnote y\n"),
                               QStringLiteral("#"),
                               QStringLiteral("x")};
        for (const bool crlf : {false, true}) {
            std::string text = shelf::kSheet;
            if (crlf)
                for (std::size_t at = 0; (at = text.find('\n', at)) != std::string::npos; at += 2) text.insert(at, "\r");
            TextBuffer buffer;
            buffer.load("t", syntax::FileKind::Sheet, text);
            for (int i = 0; i < 400; ++i) {
                const qsizetype at = upTo(buffer.shown().size());
                const qsizetype removed = random() % 3 == 0 ? upTo(std::min<qsizetype>(60, buffer.shown().size() - at)) : 0;
                const QString added = random() % 4 == 0 ? QString() : bits[upTo(bits.size() - 1)];
                buffer.edit({at, removed, added});
                compare(buffer);
                if (QTest::currentTestFailed()) return;
            }
            // From the other side: other bytes are taken in, and what is shown follows.
            TextBuffer other;
            other.load("t", syntax::FileKind::Sheet, text);
            QString shown = other.shown();
            const auto change = other.take(buffer.bytes());
            QVERIFY(change.has_value());
            shown.replace(change->at, change->removed, change->added);
            QCOMPARE(shown, buffer.shown());
            compare(other);
        }
    }
};

SPANWRIGHT_QT_TEST(TextBufferTest);
#include "text_buffer_test.moc"
