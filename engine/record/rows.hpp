/// Entries as rows of a table. Private to this module.
#pragma once

#include "record/database.hpp"

namespace budwood::record {

/// Makes the tables of a record that has none; throws soci_error.
void make_tables(soci::session& session);
/// The form that a record says it has; throws soci_error, where there is none yet too.
int form_of(soci::session& session);
/// The form that this release writes.
inline constexpr int present_form = 3;
/// Brings a record of an older form up to the present one, all or nothing; false when somebody else
/// has done it meanwhile. Throws soci_error.
bool bring_up_to_date(soci::session& session, int form);

/// Adds entries one by one with a statement that is read once: reading it takes as long as adding.
class NewRows {
 public:
  explicit NewRows(soci::session& session);
  NewRows(const NewRows&) = delete;  // the statement holds the places of what it is bound to
  NewRows& operator=(const NewRows&) = delete;

  /// False when there is one of that id. Throws soci_error.
  bool add(const Entry& entry);

 private:
  soci::statement statement_;
  Entry entry_;
  // What SOCI binds is of its own types.
  std::string what_, used_;
  long long noted_ = 0, turn_ = 0;
  int day_ = 0;
  double number_ = 0, of_ = 0, seconds_ = 0;
  soci::indicator has_turn_ = soci::i_null, has_number_ = soci::i_null, has_of_ = soci::i_null,
                  has_seconds_ = soci::i_null;
};

/// A query for rows: "where batch = :batch". What it uses is bound by the caller.
class Rows {
 public:
  Rows(soci::session& session, const std::string& condition);

  template <typename Value>
  Rows& with(const Value& value, const char* name) {
    statement_.exchange(soci::use(value, name));
    return *this;
  }
  /// Once all is bound.
  void prepare();
  /// Runs it, with what is bound as it stands now; gives each row to `take`.
  template <typename Take>
  void run(const Take& take) {
    statement_.execute(false);
    while (statement_.fetch()) take(entry());
  }

 private:
  Entry entry() const;

  std::string sql_;
  soci::statement statement_;
  std::string id_, by_, batch_, place_, what_, name_, unit_, tray_, used_, words_, corrects_;
  long long noted_ = 0, turn_ = 0;
  int day_ = 0;
  double number_ = 0, of_ = 0, seconds_ = 0;
  soci::indicator has_number_ = soci::i_ok, has_of_ = soci::i_ok, has_seconds_ = soci::i_ok;
};

}  // namespace budwood::record
