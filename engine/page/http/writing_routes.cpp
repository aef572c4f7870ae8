#include "page/http/guard.hpp"
#include "page/http/routes.hpp"
#include "page/open/adding.hpp"
#include "page/open/keeping.hpp"
#include "page/open/noting.hpp"
#include "page/photos/photos.hpp"

namespace budwood::page {

namespace {

constexpr std::size_t most_entries = 200;   ///< in one request
constexpr std::size_t most_changes = 2000;  ///< a column that is pasted
constexpr std::size_t longest_text = 2U << 20U;

/// A text of an object; "" when there is none.
std::string text_in(const Json& json, const char* key) {
  const auto found = json.is_object() ? json.find(key) : json.end();
  return json.is_object() && found != json.end() && found->is_string() ? found->get<std::string>()
                                                                       : "";
}

/// A list of an object, or an empty one.
const Json& list_in(const Json& json, const char* key) {
  static const Json none = Json::array();
  if (!json.is_object()) return none;
  const auto found = json.find(key);
  return found != json.end() && found->is_array() ? *found : none;
}

bool flag_in(const Json& json, const char* key) {
  return json.is_object() && json.contains(key) && json[key].is_boolean() && json[key].get<bool>();
}

/// A place that counts from 1, from 0.
std::uint32_t number_in(const Json& json, const char* key) {
  const auto found = json.is_object() ? json.find(key) : json.end();
  const bool there = json.is_object() && found != json.end() && found->is_number_unsigned();
  const auto number = there ? found->get<std::uint64_t>() : 0;
  return number == 0 || number > longest_text ? 0 : static_cast<std::uint32_t>(number - 1);
}

const char* word(TakenEntry::State state) {
  return state == TakenEntry::State::noted   ? "noted"
         : state == TakenEntry::State::known ? "known"
                                             : "refused";
}

}  // namespace

void Routes::action(httplib::Server& server, const std::string& name, Role role, bool changes,
                    Writer writer) {
  server.Post("/api/" + name,
              [=, this, writer = std::move(writer)](const Request& request, Response& response) {
                const auto who = visitor(request, response, role);
                if (!who) return;
                const bool may = changes ? may_change(*who, request, response)
                                         : has_token(*who, request, response);
                if (!may) return;
                const Json body = Json::parse(request.body, nullptr, false);
                if (body.is_discarded()) return refuse(response, 400, "This cannot be read.");
                writer(*who, body, response);
              });
}

bool Routes::has_token(const Visitor& who, const Request& request, Response& response) {
  if (same_token(request.get_header_value("X-Token"), who.token)) return true;
  give_json(response, {{"problem", "This window is out of date."}, {"stale", true}}, 403);
  return false;
}

bool Routes::may_change(const Visitor& who, const Request& request, Response& response) const {
  if (!has_token(who, request, response)) return false;
  if (!serving_.read_only) return true;
  refuse(response, 403, "The book is only shown here: nothing can be changed.");
  return false;
}

void Routes::add_writing(httplib::Server& server) {
  add_signing_in(server);
  add_photos(server);
  action(server, "note", Role::record, true,
         [this](const Visitor& who, const Json& body, Response& response) {
           note_entries(who, body, response);
         });
  action(server, "try", Role::look, false,
         [this](const Visitor&, const Json& body, Response& response) {
           try_changes(body, response);
         });
  action(server, "keep", Role::plan, true,
         [this](const Visitor&, const Json& body, Response& response) {
           keep_changes(body, response);
         });
  action(server, "add", Role::plan, true,
         [this](const Visitor&, const Json& body, Response& response) { add_one(body, response); });
  action(
      server, "save", Role::plan, true,
      [this](const Visitor&, const Json& body, Response& response) { save_text(body, response); });
  add_desk(server);
}

void Routes::add_photos(httplib::Server& server) {
  server.Post("/api/photo", [this](const Request& request, Response& response) {
    const auto who = visitor(request, response, Role::record);
    if (!who || !may_change(*who, request, response)) return;
    std::string problem;
    const std::string name = keep_photo(book_.folder(), request.body, problem);
    if (name.empty()) return refuse(response, 400, problem);
    give_json(response, {{"photo", name}});
  });
  server.Get(R"(/photos/([0-9a-f]{16}\.jpg))", [this](const Request& request, Response& response) {
    if (!visitor(request, response, Role::look)) return;
    const auto photo = photo_named(book_.folder(), request.matches[1]);
    if (!photo) return refuse(response, 404, "There is no such photo.");
    // Another picture would have another name.
    response.set_header("Cache-Control", "private, max-age=31536000, immutable");
    response.set_content(*photo, "image/jpeg");
  });
}

void Routes::add_desk(httplib::Server& server) {
  using Answer = std::function<Json(const Json& body, const std::string& text)>;
  const auto about_text = [&](const char* name, Answer answer) {
    action(server, name, Role::look, false,
           [answer = std::move(answer)](const Visitor&, const Json& body, Response& response) {
             const std::string text = text_in(body, "text");
             if (text.size() > longest_text) return refuse(response, 413, "This is too long.");
             const Json json = answer(body, text);
             if (json.is_null()) return refuse(response, 404, "The book has no such file.");
             give_json(response, json);
           });
  };
  about_text("check", [this](const Json& body, const std::string& text) {
    return desk_.check(*book_.now(), text_in(body, "file"), text);
  });
  about_text("complete", [this](const Json& body, const std::string& text) {
    const editor::Position place{number_in(body, "line"), number_in(body, "column")};
    return desk_.complete(*book_.now(), text_in(body, "file"), text, place);
  });
  about_text("point", [this](const Json& body, const std::string& text) {
    const editor::Position place{number_in(body, "line"), number_in(body, "column")};
    return desk_.point(*book_.now(), text_in(body, "file"), text, place);
  });
  about_text("effect", [this](const Json& body, const std::string& text) {
    const std::shared_ptr<Snapshot> now = book_.now();
    const std::lock_guard lock(now->mutex);
    return effect_view(*now, text_in(body, "file"), text);
  });
  about_text("tidy", [this](const Json& body, const std::string& text) {
    return desk_.tidy(text_in(body, "file"), text);
  });
}

void Routes::add_signing_in(httplib::Server& server) {
  server.Post("/api/sign-in", [this](const Request& request, Response& response) {
    // A header that no form of another site can send.
    if (!request.has_header("X-Token")) return refuse(response, 403, "This cannot be read.");
    const Json body = Json::parse(request.body, nullptr, false);
    const std::string name = text_in(body, "name");
    const std::string password = text_in(body, "password");
    if (name.size() > longest_password || password.size() > longest_password) {
      return refuse(response, 400, "This is too long.");
    }
    const Sessions::SignedIn in = sessions_.sign_in(name, password);
    if (in.session.empty()) {
      if (in.wait > 0) response.set_header("Retry-After", std::to_string(in.wait));
      return give_json(response, {{"problem", in.problem}, {"wait", in.wait}},
                       in.wait > 0 ? 429 : 401);
    }
    const bool secure = is_behind_tls(request);
    response.set_header("Set-Cookie", std::string(session_cookie) + "=" + in.session +
                                          "; Path=/; HttpOnly; SameSite=Strict" +
                                          (secure ? "; Secure" : ""));
    give_json(response, {{"done", true}});
  });
  server.Post("/api/sign-out", [this](const Request& request, Response& response) {
    const auto who = visitor(request, response, Role::look);
    if (!who) return;
    if (!same_token(request.get_header_value("X-Token"), who->token)) {
      return refuse(response, 403, "This window is out of date.");
    }
    sessions_.sign_out(cookie_of(request, session_cookie));
    response.set_header("Set-Cookie", std::string(session_cookie) +
                                          "=; Path=/; HttpOnly; SameSite=Strict; Max-Age=0");
    give_json(response, {{"done", true}});
  });
}

void Routes::note_entries(const Visitor& who, const Json& body, Response& response) {
  std::vector<SentEntry> sent;
  for (const Json& one : list_in(body, "entries")) {
    if (sent.size() >= most_entries) return refuse(response, 413, "These are too many at once.");
    sent.push_back({text_in(one, "id"), text_in(one, "line")});
  }
  text::Sources sources;
  const Noter noter{who.name, who.name.empty() || who.role >= Role::plan};
  Json out = Json::array();
  for (const TakenEntry& one : note(book_, sent, noter, sources)) {
    out.push_back({{"id", one.id},
                   {"state", word(one.state)},
                   {"line", one.line},
                   {"said", diagnostics_json(one.said)}});
  }
  give_json(response, {{"entries", std::move(out)}});
}

void Routes::try_changes(const Json& body, Response& response) {
  std::vector<std::string> changes;
  for (const Json& one : list_in(body, "changes")) {
    if (changes.size() >= most_changes) return refuse(response, 413, "These are too many at once.");
    if (one.is_string()) changes.push_back(one.get<std::string>());
  }
  text::Sources sources;
  text::Diagnostics said;
  const std::shared_ptr<Snapshot> now = book_.now();
  const std::lock_guard lock(now->mutex);
  const Json tried = tried_view(*now, changes, flag_in(body, "whole"), sources, said);
  Json errors = Json::array();
  for (const text::Diagnostic& d : said.sorted()) {
    if (tried.is_null()) errors.push_back(diagnostic_json(d));
  }
  give_json(response, {{"tried", tried}, {"said", std::move(errors)}});
}

void Routes::keep_changes(const Json& body, Response& response) {
  std::vector<WantedChange> wanted;
  for (const Json& one : list_in(body, "changes")) {
    if (wanted.size() >= most_changes) return refuse(response, 413, "These are too many at once.");
    wanted.push_back({text_in(one, "change"), text_in(one, "cell"), text_in(one, "was")});
  }
  text::Sources sources;
  const Kept kept = keep(book_, wanted, sources);
  Json clashes = Json::array();
  for (const Clash& one : kept.clashes) {
    clashes.push_back({{"batch", one.batch}, {"cell", one.cell}, {"was", one.was}, {"is", one.is}});
  }
  Json out = {{"done", kept.done},
              {"said", diagnostics_json(kept.said)},
              {"clashes", std::move(clashes)},
              {"undo", kept.undo}};
  if (kept.done) {
    const std::shared_ptr<Snapshot> now = book_.now();
    const std::lock_guard lock(now->mutex);
    out["cells"] = cells_json(*now, kept.outcome);
  }
  give_json(response, out, kept.clashes.empty() ? 200 : 409);
}

void Routes::add_one(const Json& body, Response& response) {
  text::Sources sources;
  text::Diagnostics said;
  add_batch(book_,
            {text_in(body, "batch"), text_in(body, "protocol"), text_in(body, "plants"),
             text_in(body, "key"), text_in(body, "day")},
            sources, said);
  give_json(response, {{"done", !said.has_errors()}, {"said", diagnostics_json(said)}});
}

void Routes::save_text(const Json& body, Response& response) {
  const std::string text = text_in(body, "text");
  if (text.size() > longest_text) return refuse(response, 413, "This is too long.");
  text::Diagnostics said;
  std::string other;
  save_method(book_, text_in(body, "file"), text, text_in(body, "digest"), said, other);
  Json out = {{"done", !said.has_errors() && other.empty()}, {"said", diagnostics_json(said)}};
  if (!other.empty()) out["other"] = other;
  give_json(response, out, other.empty() ? 200 : 409);
}

}  // namespace budwood::page
