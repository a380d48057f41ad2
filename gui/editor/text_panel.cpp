// SPDX-License-Identifier: MIT
#include "gui/editor/text_panel.h"

#include <QComboBox>
#include <QEvent>
#include <QFileInfo>
#include <QHBoxLayout>
#include <QLabel>
#include <QTextBlock>
#include <QUndoStack>
#include <QVBoxLayout>

#include <algorithm>
#include <utility>

#include "gui/editor/text_view.h"
#include "gui/ink/palette.h"
#include "gui/models/short_text.h"
#include "gui/models/text.h"
#include "gui/models/words.h"

namespace spanwright::editor {

using models::fromUtf8;
using models::toUtf8;
using models::wordsOf;
using syntax::Row;
using syntax::RowKind;

namespace {

constexpr int kPause = 300;
constexpr qsizetype kMostTold = 6;

Note::Weight weightOf(diag::Severity s) {
    switch (s) {
    case diag::Severity::Error: return Note::Weight::Error;
    case diag::Severity::Warning: return Note::Weight::Warning;
    case diag::Severity::Note: break;
    }
    return Note::Weight::Remark;
}

} // namespace

TextPanel::TextPanel(models::JobSession& session, QWidget* parent)
    : QWidget(parent), m_session(session), m_view(new TextView(m_buffer, this)), m_files(new QComboBox(this)), m_state(new QLabel(this)),
      m_told(new QLabel(this)) {
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, 0, 0, 0);
    column->setSpacing(0);
    auto* row = new QHBoxLayout;
    row->setContentsMargins(8, 2, 8, 4);
    row->setSpacing(10);
    m_files->setAccessibleName(tr("File shown as text"));
    m_files->setSizeAdjustPolicy(QComboBox::AdjustToContents);
    row->addWidget(m_files);
    m_state->setForegroundRole(QPalette::PlaceholderText);
    m_state->setWordWrap(true);
    row->addWidget(m_state, 1);
    column->addLayout(row);
    column->addWidget(m_view, 1);
    m_told->setWordWrap(true);
    m_told->setMargin(6);
    m_told->setTextFormat(Qt::PlainText);
    m_told->setTextInteractionFlags(Qt::TextSelectableByMouse);
    m_told->hide();
    column->addWidget(m_told);
    setFocusProxy(m_view);
    m_view->setReadOnly(true);
    m_view->setSuggester([this](TextBuffer::Spot spot) { return suggestions(spot); });

    m_soon.setSingleShot(true);
    connect(&m_soon, &QTimer::timeout, this, &TextPanel::commit);
    connect(m_view, &TextView::typed, this, &TextPanel::typed);
    connect(m_view, &TextView::left, this, &TextPanel::commit);
    connect(m_view, &TextView::leaveWanted, this, &TextPanel::leaveWanted);
    connect(m_view, &TextView::undoWanted, this, [this] {
        commit();
        m_session.undoStack().undo();
    });
    connect(m_view, &TextView::redoWanted, this, [this] {
        commit();
        m_session.undoStack().redo();
    });
    connect(m_view, &QPlainTextEdit::cursorPositionChanged, this, &TextPanel::cursorMoved);
    connect(m_files, &QComboBox::activated, this, [this](int i) { showFile(m_files->itemData(i).toString()); });
    connect(&session, &models::JobSession::reset, this, [this] {
        // Read anew from the file: what was typed and not told is given up with everything else.
        if (!m_committing) m_pending = false;
    });
    connect(&session, &models::JobSession::settled, this, &TextPanel::follow);
    session.setPending([this] { commit(); });
    if (session.isOpen()) takeIn();
}

TextPanel::~TextPanel() {
    // The view tells that it is left while it is deleted, when nothing of this panel is there any more to hear it.
    m_view->disconnect(this);
    m_files->disconnect(this);
}

// ---- files

/// The job and the sheets that its members use.
void TextPanel::fill() {
    const QSignalBlocker quiet(m_files);
    QStringList paths;
    if (m_session.isOpen()) {
        paths << m_session.path();
        for (const QString& file : m_session.filesRead())
            if (file.endsWith(QStringLiteral(".spansheet")) && !paths.contains(file)) paths << file;
    }
    bool same = paths.size() == m_files->count();
    for (int i = 0; same && i < paths.size(); ++i) same = m_files->itemData(i).toString() == paths[i];
    if (!same) {
        m_files->clear();
        for (const QString& path : paths) {
            const QString name = QFileInfo(path).fileName();
            m_files->addItem(m_session.job().isReady(toUtf8(path)) && !m_session.job().isSingleSheet() ? tr("%1 (ready sheet)").arg(name) : name, path);
        }
    }
    if (!paths.contains(m_file)) m_file = paths.isEmpty() ? QString() : paths.first();
    m_files->setCurrentIndex(static_cast<int>(paths.indexOf(m_file)));
}

void TextPanel::showFile(const QString& file) {
    catchUp();
    if (file == m_file) return;
    commit();
    m_file = file;
    m_files->setCurrentIndex(m_files->findData(file));
    load();
    refreshNotes();
    if (m_cell) showCell(m_cell);
}

void TextPanel::load() {
    const bool sheet = m_file.endsWith(QStringLiteral(".spansheet"));
    const auto text = m_session.isOpen() ? m_session.text(toUtf8(m_file)) : std::nullopt;
    m_buffer.load(toUtf8(m_file), sheet ? syntax::FileKind::Sheet : syntax::FileKind::Job, text.value_or(std::string()));
    m_following = true;
    m_view->showAll();
    m_following = false;
    const bool ready = m_session.isOpen() && m_session.job().isReady(toUtf8(m_file)) && !m_session.job().isSingleSheet();
    m_view->setReadOnly(ready || !text);
    // A text that is only read still has a cursor, so that keys can walk it.
    if (m_view->isReadOnly()) m_view->setTextInteractionFlags(Qt::TextSelectableByMouse | Qt::TextSelectableByKeyboard);
    m_state->setText(!text ? tr("This file could not be read.") : ready ? tr("A ready sheet: make a copy for this job to change it.") : QString());
}

/// What the job says now, behind any edit: at once where it is seen, else when it comes into view.
void TextPanel::follow() {
    m_behind = !isVisible() && !m_pending;
    if (!m_behind) takeIn();
}

void TextPanel::catchUp() {
    if (std::exchange(m_behind, false)) takeIn();
}

void TextPanel::showEvent(QShowEvent* event) {
    catchUp();
    QWidget::showEvent(event);
}

void TextPanel::takeIn() {
    if (!m_session.isOpen()) return;
    const QString before = m_file;
    fill();
    if (m_file != before || m_buffer.file() != toUtf8(m_file)) {
        m_pending = false;
        load();
    } else if (const auto text = m_session.text(toUtf8(m_file)); text && !m_pending) {
        if (m_view->isReadOnly() && m_buffer.bytes().empty() && !text->empty()) {
            load();
        } else if (const auto change = m_buffer.take(*text)) {
            m_following = true;
            m_view->apply(*change);
            m_following = false;
        }
    }
    refreshNotes();
}

void TextPanel::changeEvent(QEvent* event) {
    QWidget::changeEvent(event);
    if (event->type() == QEvent::FontChange) m_view->fitLetters();
}

void TextPanel::refresh() {
    if (!m_session.isOpen()) return;
    catchUp();
    refreshNotes();
    showCell(m_cell);
}

// ---- typing

void TextPanel::typed() {
    m_pending = true;
    if (m_lastCost <= m_quick)
        commit();
    else
        m_soon.start(kPause);
}

void TextPanel::commit() {
    m_soon.stop();
    if (!m_pending || m_committing || !m_session.isOpen()) return;
    m_pending = false;
    m_committing = true;
    QElapsedTimer clock;
    clock.start();
    const models::Outcome outcome = m_session.setTyped(m_buffer.file(), m_buffer.bytes());
    m_lastCost = clock.elapsed();
    m_committing = false;
    if (outcome) m_state->setText(outcome->message);
}

Suggestions TextPanel::suggestions(TextBuffer::Spot spot) {
    const auto& rows = m_buffer.document().rows();
    CompletionPlace place;
    place.file = m_buffer.file();
    place.kind = m_buffer.document().kind();
    place.document = &m_buffer.document();
    place.rowIndex = spot.row;
    if (spot.row < rows.size()) place.row = rows[spot.row].text;
    place.at = spot.at;
    return suggestionsAt(m_session, place);
}

// ---- what is wrong

void TextPanel::refreshNotes() {
    std::vector<Note> notes;
    if (isVisible() && m_session.isOpen()) {
        for (const diag::Diagnostic& d : m_session.job().diagnostics()) {
            if (d.place.file != m_buffer.file() || d.place.row == diag::Place::kNoRow) continue;
            notes.push_back({weightOf(d.severity), d.place.row, d.place.span, wordsOf(d.message), wordsOf(d.mend)});
        }
    }
    m_view->setNotes(std::move(notes));
    m_told->setText(told());
    m_told->setVisible(!m_told->text().isEmpty());
}

QString TextPanel::told() const {
    QStringList lines;
    for (const Note* note : m_view->notesOfLine(m_view->textCursor().blockNumber()))
        lines << models::shortened(note->mend.isEmpty() ? note->message : tr("%1; mend: %2").arg(note->message, note->mend));
    if (const auto more = lines.size() - kMostTold; more > 0) lines = lines.mid(0, kMostTold) << tr("and %1 more").arg(more);
    return lines.join(QLatin1Char('\n'));
}

void TextPanel::nextNote() {
    const auto& notes = m_view->notes();
    if (notes.empty()) return;
    const TextBuffer::Spot here = m_buffer.spotAt(m_view->textCursor().position());
    const auto key = [](const Note& n) { return std::pair<std::uint32_t, std::size_t>(n.row, n.span.begin); };
    const Note* next = nullptr;
    const Note* first = &notes.front();
    for (const Note& n : notes) {
        if (key(n) < key(*first)) first = &n;
        if (key(n) > std::pair<std::uint32_t, std::size_t>(here.row, here.at) && (next == nullptr || key(n) < key(*next))) next = &n;
    }
    if (next == nullptr) next = first;
    (void)goTo(m_buffer.file(), next->row, next->span.begin);
}

bool TextPanel::goTo(const std::string& file, std::uint32_t row, std::size_t at) {
    catchUp();
    if (m_files->findData(fromUtf8(file)) < 0) return false;
    showFile(fromUtf8(file));
    QTextCursor cursor = m_view->textCursor();
    cursor.setPosition(static_cast<int>(std::min<qsizetype>(m_buffer.shownAt(row, at), m_buffer.shown().size())));
    m_view->setTextCursor(cursor);
    m_view->ensureCursorVisible();
    return true;
}

// ---- cursor and selection

std::optional<std::uint32_t> TextPanel::rowOf(models::CellId cell) const {
    if (cell.member >= m_session.job().memberCount() || !m_session.hasSheet(cell.member)) return {};
    const meaning::Sheet& sheet = m_session.job().sheet(cell.member);
    if (cell.quantity.index() >= sheet.quantities.size()) return {};
    const meaning::Quantity& q = sheet.at(cell.quantity);
    if (sheet.document && sheet.document->file() == m_buffer.file()) return q.row;
    if (m_buffer.document().kind() != syntax::FileKind::Job) return {};
    const std::uint32_t member = m_session.job().member(cell.member).row;
    const auto& rows = m_buffer.document().rows();
    for (std::uint32_t i = member + 1; i < rows.size() && rows[i].kind != RowKind::Member; ++i)
        if (rows[i].owner == member && (rows[i].kind == RowKind::With || rows[i].kind == RowKind::List) && rows[i]->name.text == q.name) return i;
    return member;
}

void TextPanel::showCell(std::optional<models::CellId> cell) {
    m_cell = cell;
    if (m_behind) return; // it is gone to when the text comes into view
    if (!cell || m_view->hasFocus() || m_committing || m_pending) return;
    // Of another sheet: that one is shown, where a sheet is.
    if (m_buffer.document().kind() == syntax::FileKind::Sheet && m_session.hasSheet(cell->member)) {
        const auto& document = m_session.job().sheet(cell->member).document;
        if (document && document->file() != m_buffer.file() && m_files->findData(fromUtf8(document->file())) >= 0) return showFile(fromUtf8(document->file()));
    }
    const auto row = rowOf(*cell);
    if (!row || *row >= m_buffer.document().rows().size()) return;
    if (m_buffer.spotAt(m_view->textCursor().position()).row == *row) return;
    m_following = true;
    QTextCursor cursor = m_view->textCursor();
    cursor.setPosition(static_cast<int>(m_buffer.shownAt(*row, 0)));
    m_view->setTextCursor(cursor);
    m_view->centerCursor();
    m_following = false;
    m_told->setText(told());
    m_told->setVisible(!m_told->text().isEmpty());
}

std::optional<models::Spot> TextPanel::spotAtCursor() const {
    const auto& rows = m_buffer.document().rows();
    const std::uint32_t index = m_buffer.spotAt(m_view->textCursor().position()).row;
    if (index >= rows.size()) return {};
    const Row& row = rows[index];
    const job::Job& job = m_session.job();
    if (m_buffer.document().kind() == syntax::FileKind::Job) {
        if (row.kind == RowKind::Tick || row.kind == RowKind::Remark) return models::Spot{row->member.text, row->name.text};
        std::uint32_t member = row.kind == RowKind::Member ? index : row.owner;
        std::uint32_t statement = index;
        if (member < rows.size() && rows[member].kind == RowKind::List) {
            statement = member;
            member = rows[member].owner;
        }
        if (member >= rows.size() || rows[member].kind != RowKind::Member) {
            if (row.kind == RowKind::Given) return models::Spot{std::string(), row->name.text};
            return {};
        }
        const std::string& mark = rows[member]->name.text;
        const auto known = job.memberByMark(mark);
        if (!known || !m_session.hasSheet(*known)) return {};
        if (rows[statement].kind == RowKind::With || rows[statement].kind == RowKind::List) return models::Spot{mark, rows[statement]->name.text};
        // At the member itself: its column, in the row that is selected.
        if (!m_cell || !m_session.hasSheet(m_cell->member) || m_cell->member >= job.memberCount()) return {};
        const auto& quantities = job.sheet(m_cell->member).quantities;
        return m_cell->quantity.index() < quantities.size() ? std::optional(models::Spot{mark, quantities[m_cell->quantity.index()].name}) : std::nullopt;
    }
    // Of a sheet: in the member selected, if it uses this one; else in the first that does.
    std::optional<std::size_t> member;
    for (std::size_t i = 0; i < job.memberCount(); ++i) {
        if (!m_session.hasSheet(i)) continue;
        const auto& document = job.sheet(i).document;
        if (!document || document->file() != m_buffer.file()) continue;
        if (!member || (m_cell && m_cell->member == i)) member = i;
    }
    if (!member) return {};
    std::uint32_t at = index;
    if (row.owner < rows.size() && rows[row.owner].kind != RowKind::Part && rows[row.owner].kind != RowKind::Otherwise) at = row.owner;
    while (at > 0 && rows[at].kind == RowKind::Note) --at;
    for (const meaning::Quantity& q : job.sheet(*member).quantities)
        if (q.row == at && !q.name.empty() && q.kind != meaning::Kind::Switch) return models::Spot{job.member(*member).mark, q.name};
    return {};
}

void TextPanel::cursorMoved() {
    if (m_following) return; // the text is being changed: what is wrong with its lines is not known yet
    m_told->setText(told());
    m_told->setVisible(!m_told->text().isEmpty());
    if (m_pending || m_committing || !m_session.isOpen() || !m_view->hasFocus()) return;
    if (const auto spot = spotAtCursor(); spot && !spot->mark.empty()) Q_EMIT placed(*spot);
}

} // namespace spanwright::editor
