#include "language/tree/references.hpp"

namespace budwood::language {

namespace {

/// Goes through the fields that statements list. What is of a type that it does not know, does not
/// compile.
class Walk {
 public:
  explicit Walk(const References& references) : references_(references) {}

  void operator()(syntax::Name& name, Refers refers = Refers::nothing) const {
    if (refers != Refers::nothing && references_.name) references_.name(name, refers);
  }
  void operator()(syntax::Written& written, Refers refers) const {
    if (references_.written) references_.written(written, refers);
  }
  void operator()(syntax::Formula& formula, Refers names = Refers::value) const {
    using Kind = syntax::Formula::Kind;
    if (references_.formula) references_.formula(formula);
    if (formula.kind == Kind::name) (*this)(formula.name, names);
    if (formula.kind == Kind::member || formula.kind == Kind::call) {
      (*this)(formula.name, Refers::value);
    }
    // What a function is given is a value, whatever is asked of the formula around it.
    const Refers inner = formula.kind == Kind::call ? Refers::value : names;
    for (syntax::Formula& argument : formula.arguments) (*this)(argument, inner);
  }

  /// A unit that may be a name: what is counted.
  void operator()(syntax::UnitText& unit, Refers refers) const {
    if (unit.text.empty()) return;
    syntax::Name name{unit.text, unit.span};
    (*this)(name, refers);
    unit.text = name.text;
  }

  // What refers to nothing.
  void operator()(syntax::Text&) const {}
  void operator()(syntax::UnitText&) const {}
  void operator()(syntax::DayRef&) const {}
  void operator()(bool&) const {}
  void operator()(int&) const {}
  void operator()(double&) const {}
  void operator()(syntax::Half&) const {}
  void operator()(syntax::Bound&) const {}

  template <typename Field, typename... What>
  void operator()(std::optional<Field>& field, What... refers) const {
    if (field) (*this)(*field, refers...);
  }
  template <typename Field, typename... What>
  void operator()(std::vector<Field>& fields, What... refers) const {
    for (Field& field : fields) (*this)(field, refers...);
  }
  template <typename... Items>
  void operator()(std::variant<Items...>& item) const {
    std::visit(*this, item);
  }
  template <typename Item>
  requires requires(Item& item, const Walk& walk) { Item::fields(item, walk); }
  void operator()(Item& item) const { Item::fields(item, *this); }

 private:
  const References& references_;
};

}  // namespace

void visit(syntax::Stage& stage, const References& references) {
  Walk{references}(stage);
}

void visit(syntax::Protocol& protocol, const References& references) {
  Walk{references}(protocol.items);
}

}  // namespace budwood::language
