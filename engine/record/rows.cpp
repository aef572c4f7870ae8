#include "record/rows.hpp"

#include "record/json.hpp"

namespace budwood::record {

namespace {

constexpr const char* columns =
    "id, noted, turn, day, by_whom, batch, place, what, name, number, of_number, unit, seconds, "
    "tray, used, words, corrects";

soci::indicator shown(const std::optional<double>& value) {
  return value ? soci::i_ok : soci::i_null;
}

std::optional<double> value_if(double value, soci::indicator shown) {
  return shown == soci::i_ok ? std::optional(value) : std::nullopt;
}

}  // namespace

void make_tables(soci::session& session) {
  soci::transaction all(session);
  session << "create table record_form (form integer not null)";
  session << "create table entries ("
             "id varchar(40) not null primary key, noted bigint not null, turn bigint not null, "
             "day integer not null, by_whom text not null, batch text not null, "
             "place text not null, what text not null, name text not null, "
             "number double precision, of_number double precision, unit text not null, "
             "seconds double precision, tray text not null, used text not null, "
             "words text not null, corrects text not null)";
  session << "create index entries_by_batch on entries (batch, turn)";
  session << "create index entries_by_day on entries (day)";
  session << "create index entries_by_turn on entries (turn)";
  session << "create index entries_by_corrected on entries (corrects)";
  session << "insert into record_form (form) values (:form)", soci::use(present_form);
  all.commit();
}

namespace {

/// Turns of form 2 counted on from 1 on every machine, so that entries brought together were in no
/// true order: they become moments, as they are given now (see `Entry::turn`).
void make_turns_moments(soci::session& session) {
  session << "update entries set turn = later.turn from ("
             "select id as of_id, place + max(noted - place) over (order by place) as turn from ("
             "select id, noted, row_number() over (order by noted, turn, id) as place from entries"
             ") as placed) as later where entries.id = later.of_id";
  // Where a clock ran backwards, what corrects an entry still comes after it.
  session << "update entries set turn = earlier.turn + 1 from entries as earlier "
             "where earlier.id = entries.corrects and earlier.turn >= entries.turn";
}

}  // namespace

bool bring_up_to_date(soci::session& session, int form) {
  soci::transaction all(session);
  soci::statement count =
      (session.prepare << "update record_form set form = :next where form = :form",
       soci::use(present_form), soci::use(form));
  count.execute(true);
  if (count.get_affected_rows() == 0) return false;
  if (form < 2) {
    // Entries of a batch are read in the order noted, not by day.
    session << "drop index entries_by_batch";
    session << "create index entries_by_batch on entries (batch, turn)";
  }
  if (form < 3) make_turns_moments(session);
  all.commit();
  return true;
}

int form_of(soci::session& session) {
  int form = 0;
  session << "select max(form) from record_form", soci::into(form);
  return form;
}

NewRows::NewRows(soci::session& session) : statement_(session) {
  using soci::use;
  const auto bind = [this](auto&&... values) { (statement_.exchange(values), ...); };
  bind(use(entry_.id), use(noted_), use(turn_, has_turn_), use(noted_), use(noted_), use(day_),
       use(entry_.by), use(entry_.batch), use(entry_.place), use(what_), use(entry_.name),
       use(number_, has_number_), use(of_, has_of_), use(entry_.unit), use(seconds_, has_seconds_),
       use(entry_.tray), use(used_), use(entry_.words), use(entry_.corrects));
  statement_.alloc();
  statement_.prepare(
      std::string("insert into entries (") + columns +
      ") values (:id, :noted, coalesce(:turn, (select case when coalesce(max(turn), 0) < "
      ":noted_again then :noted_then else max(turn) + 1 end from entries)), :day, :by_whom, "
      ":batch, :place, :what, :name, :number, :of_number, :unit, :seconds, :tray, :used, :words, "
      ":corrects) on conflict (id) do nothing");
  statement_.define_and_bind();
}

bool NewRows::add(const Entry& entry) {
  entry_ = entry;
  what_ = word(entry.what);
  used_ = used_json(entry.used);
  noted_ = entry.noted;
  turn_ = entry.turn;
  day_ = entry.day;
  number_ = entry.number.value_or(0);
  of_ = entry.of.value_or(0);
  seconds_ = entry.seconds.value_or(0);
  has_turn_ = entry.turn > 0 ? soci::i_ok : soci::i_null;
  has_number_ = shown(entry.number);
  has_of_ = shown(entry.of);
  has_seconds_ = shown(entry.seconds);
  statement_.execute(true);
  return statement_.get_affected_rows() > 0;
}

Rows::Rows(soci::session& session, const std::string& condition)
    : sql_(std::string("select ") + columns + " from entries " + condition), statement_(session) {
  using soci::into;
  statement_.exchange(into(id_));
  statement_.exchange(into(noted_));
  statement_.exchange(into(turn_));
  statement_.exchange(into(day_));
  statement_.exchange(into(by_));
  statement_.exchange(into(batch_));
  statement_.exchange(into(place_));
  statement_.exchange(into(what_));
  statement_.exchange(into(name_));
  statement_.exchange(into(number_, has_number_));
  statement_.exchange(into(of_, has_of_));
  statement_.exchange(into(unit_));
  statement_.exchange(into(seconds_, has_seconds_));
  statement_.exchange(into(tray_));
  statement_.exchange(into(used_));
  statement_.exchange(into(words_));
  statement_.exchange(into(corrects_));
}

void Rows::prepare() {
  statement_.alloc();
  statement_.prepare(sql_);
  statement_.define_and_bind();
}

Entry Rows::entry() const {
  Entry out;
  out.id = id_;
  out.noted = noted_;
  out.turn = turn_;
  out.day = day_;
  out.by = by_;
  out.batch = batch_;
  out.place = place_;
  const std::optional<What> what = find_what(what_);
  const bool whole = what && day_ >= 0 && day_ < days_there_are && noted_ >= 0;
  // A page can be damaged in a way that the database itself does not notice.
  if (!whole) throw soci::soci_error("An entry is malformed");
  out.what = *what;
  out.name = name_;
  out.number = value_if(number_, has_number_);
  out.of = value_if(of_, has_of_);
  out.unit = unit_;
  out.seconds = value_if(seconds_, has_seconds_);
  out.tray = tray_;
  if (!used_.empty()) out.used = read_used(used_).value_or(std::vector<Used>{});
  out.words = words_;
  out.corrects = corrects_;
  return out;
}

}  // namespace budwood::record
