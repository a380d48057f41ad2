// SPDX-License-Identifier: MIT
#include "gui/views/row_editor.h"

#include <QFontDatabase>
#include <QLabel>
#include <QVBoxLayout>

#include <algorithm>

#include "gui/editor/completing_line.h"
#include "gui/ink/palette.h"
#include "gui/models/text.h"
#include "gui/models/words.h"

namespace spanwright::views {

using models::fromUtf8;
using models::toUtf8;

namespace {
/// Soon enough to be felt as at once; late enough that typing does not wait for it.
constexpr int kSoon = 60;
} // namespace

RowEditor::RowEditor(models::JobSession& session, Place place, const QString& text, QWidget* parent)
    : QFrame(parent), m_session(session), m_place(std::move(place)), m_told(new QLabel(this)) {
    const ink::Palette& p = ink::paletteOf(palette());
    setAutoFillBackground(true);
    setFrameStyle(QFrame::Box | QFrame::Plain);
    setLineWidth(2);
    QPalette colors = palette();
    colors.setColor(QPalette::Window, p.paper);
    colors.setColor(QPalette::WindowText, p.sepia); // the frame
    setPalette(colors);
    editor::CompletionPlace at;
    at.file = m_place.file;
    at.kind = syntax::FileKind::Sheet;
    m_line = new editor::CompletingLine(session, at, this);
    QFont mono = QFontDatabase::systemFont(QFontDatabase::FixedFont);
    if (font().pointSizeF() > 0) mono.setPointSizeF(font().pointSizeF());
    m_line->setFont(mono);
    m_line->setFrame(false);
    m_line->setText(text);
    m_line->setPlaceholderText(tr("derive  NAME [unit] = formula -- what it is -- where it comes from"));
    m_line->setAccessibleName(m_place.replaced ? tr("Row of the sheet, to be changed") : tr("New row of the sheet"));
    m_told->setWordWrap(true);
    m_told->setMargin(4);
    m_told->setTextFormat(Qt::PlainText);
    m_told->setFont(ink::smallFont(font()));
    QPalette words = m_told->palette();
    words.setColor(QPalette::WindowText, p.pencil);
    m_told->setPalette(words);
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, 0, 0, 0);
    column->setSpacing(0);
    column->addWidget(m_line);
    column->addWidget(m_told);
    m_told->hide();
    setFocusProxy(m_line);
    m_soon.setSingleShot(true);
    m_soon.setInterval(kSoon);
    connect(&m_soon, &QTimer::timeout, this, [this] { (void)tryIt(); });
    connect(m_line, &QLineEdit::textChanged, this, [this] { m_soon.start(); });
    connect(m_line, &editor::CompletingLine::leaveWanted, this, &RowEditor::dropped);
    connect(m_line, &QLineEdit::returnPressed, this, [this] {
        const bool right = tryIt();
        // What is wrong was seen: the second time it is put in as it is, and told as wrong where it stands.
        const QString row = m_line->text();
        if (right || (!row.trimmed().isEmpty() && m_seen == row)) {
            Q_EMIT put(row);
        } else if (!row.trimmed().isEmpty()) {
            m_seen = row;
            (void)tryIt();
        }
    });
}

bool RowEditor::tryIt() {
    m_soon.stop();
    QStringList lines;
    bool right = true;
    const QString text = m_line->text();
    if (text.trimmed().isEmpty()) {
        right = false;
    } else {
        const job::RowTrial trial = m_session.job().tryRow(m_place.file, m_place.before, toUtf8(text), m_place.replaced);
        for (const diag::Diagnostic& d : trial.inRow) {
            right = right && d.severity != diag::Severity::Error;
            lines << (d.mend.empty() ? models::wordsOf(d.message) : tr("%1; mend: %2").arg(models::wordsOf(d.message), models::wordsOf(d.mend)));
        }
        for (const diag::Diagnostic& d : trial.elsewhere) lines << tr("another row would be wrong: %1").arg(models::wordsOf(d.message));
    }
    constexpr qsizetype kMost = 4;
    if (lines.size() > kMost) lines = lines.mid(0, kMost) << tr("and %1 more").arg(lines.size() - kMost);
    if (!right && !text.isEmpty() && m_seen == text) lines << tr("Return again puts it in as it is: it is not computed until it is mended.");
    const QString told = lines.join(QLatin1Char('\n'));
    if (told != m_told->text()) {
        m_told->setText(told);
        m_told->setVisible(!told.isEmpty());
        m_line->setAccessibleDescription(told);
        Q_EMIT grown();
    }
    return right;
}

QString RowEditor::told() const { return m_told->text(); }

QSize RowEditor::sizeHint() const {
    const int line = m_line->sizeHint().height() + 6;
    const int width = std::max(200, parentWidget() != nullptr ? parentWidget()->width() : 400);
    return {width, m_told->text().isEmpty() ? line : line + m_told->heightForWidth(width - 8) + 4};
}

} // namespace spanwright::views
