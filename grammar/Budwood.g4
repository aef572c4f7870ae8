// The protocol language. README.md beside this file gives every statement its meaning.
//
// Statements start with a keyword and need no separators. A statement is chosen by its keyword alone
// and takes it first, so that reading moves on whatever follows. Heads and bodies of blocks are rules of
// their own, so that a mistake in a head does not cost the body. Everything is decided by the next
// one to three tokens: no rule needs long look-ahead.
grammar Budwood;

// A word that begins a line where a statement is over. The lexer gives none; the reader marks them,
// so that a misspelt keyword is not taken for the unit or the name that could follow.
//
// TAIL_WORD is a word behind a value of `space` (its unit) or of `grades` (where they go). Were it a name like others,
// then whether the unit behind a number belongs to it would be known at the end of the file, everywhere.
//
// FIGURE_SOURCE is a `source` on the line of an input: that of its figure, and no statement of its own. BATCHES and
// SPREAD are words of an input's line, FIRST and OVERNIGHT of the head of a work, MAKES and what follows it of the head of
// a recipe; elsewhere they are names like others.
//
// PLACE and what follows it stand in entries of the record alone: the reader of entries marks them there, so
// that protocols can use these words as names.
tokens {
  LINE_WORD, TAIL_WORD, FIGURE_SOURCE, BATCHES, SPREAD, FIRST, OVERNIGHT, MAKES, KEEPS, MADE, VESSELS, PH,
  PLACE, DONE, LEFT, OUT, COUNTED, LOST, STARTED, ENDED, STOPPED, LESSON, STOCK, CAME, THROWN, CORRECT,
  WITHDRAW, USED, PLANTS, TRAY, GRADE, TODAY, HAND
}

file : (protocol | rules | table)* EOF ;

// An entry of the record: one line, read by itself. record.md gives every entry its meaning.
entry      : (correction happened | happened | withdrawal) (','? detail)* EOF ;
correction : CORRECT PLACE WITH ;
withdrawal : WITHDRAW PLACE ;
happened   : PLACE (happening | sight) | STOCK supplyName stockMove? measured (ON HAND)? ;
happening  : DONE | LEFT OUT | COUNTED tally | LOST tally cause? | STARTED | ENDED | STOPPED | NOTE | LESSON ;
sight      : SEEN entryName measured? | NOT SEEN entryName ;
stockMove  : CAME IN | THROWN OUT ;
tally      : NUMBER (OF NUMBER)? PLANTS? ;
cause      : NAME+ ;
measured   : '-'? NUMBER (OF NUMBER | entryUnit)? | COMPOUND ;
detail     : ON DATE | ON? TODAY | BY person | NUMBER (OF NUMBER)? PLANTS | timeSpent | USED usedAmount (AND usedAmount)*
           | IN TRAY trayName | IN GRADE entryName | STRING ;
timeSpent  : NUMBER NAME (NUMBER NAME)? ;
usedAmount : NUMBER entryUnit supplyName | NUMBER supplyName | COMPOUND supplyName ;
supplyName : entryName | STRING ;
person     : NAME+ | STRING ;
trayName   : NUMBER | entryName | STRING ;
entryUnit  : entryName | '%' ;
entryName  : NAME | DONE | LEFT | OUT | COUNTED | LOST | STARTED | ENDED | STOPPED | LESSON | STOCK | CAME | THROWN
           | CORRECT | WITHDRAW | USED | PLANTS | TRAY | GRADE | TODAY | HAND ;

protocol     : protocolHead protocolBody ;
protocolHead : PROTOCOL name base? STRING? ;
base         : BASED ON name EDITION NUMBER ;
protocolBody : '{' protocolItem* '}' ;
protocolItem : edition | crop | source | note | input | let | table | supply | recipe | part | observe | stage
             | repeat | requirement | waive
             | setInput | change | addition | drop | rename | variant ;

edition : EDITION NUMBER ;
crop    : CROP STRING ;
source  : SOURCE STRING ;
note    : NOTE STRING ;
input   : INPUT name '=' formula evidence? spread? (FROM formula TO formula)? STRING? figureSource? ;
figureSource : FIGURE_SOURCE STRING ;
evidence : SEEN NUMBER OF NUMBER (IN NUMBER BATCHES)? ;
spread   : SPREAD formula ;
let     : LET name '=' formula STRING? ;

table      : TABLE tableHead tableBody (SOURCE STRING)? ;
tableHead  : name STRING? '(' name unitText? arrow='->' unitText? ')' ;
tableBody  : '{' tablePoint* '}' ;
tablePoint : (signedNumber | name) ':' signedNumber ;
signedNumber : '-'? NUMBER ;

supply       : SUPPLY name STRING? IN unit supplyDetail* ;
supplyDetail : PACK quantity | SCRAP quantity | HAZARD NAME | REUSED | FOOTPRINT quantity (BY quantity)? ;

// What is made here of other supplies; its body is that of a work.
recipe       : recipeHead workBody ;
recipeHead   : RECIPE name STRING? MAKES quantity (','? recipeDetail)* ;
recipeDetail : KEEPS quantity | IN VESSELS OF quantity | MADE quantity BEFORE | AT quantity | PH quantity ;

part : PART name STRING? ;

observe : OBSERVE name (IN unitText)? STRING? ;

repeat     : REPEAT NUMBER TIMES repeatBody ;
repeatBody : '{' stage* '}' ;

// What a protocol changes of the one that it is based on.
setInput   : SET name '=' formula evidence? spread? (FROM formula TO formula)? STRING? figureSource? ;
change     : CHANGE (stageChange | cycleChange) ;
stageChange : changeHead changeBody ;
changeHead : STAGE name STRING? ;
changeBody : '{' changeItem* '}' ;
changeItem : stageItem | workChange | drop ;
workChange : workChangeHead workBody? ;
workChangeHead : CHANGE WORK STRING timing? hour* ;
cycleChange : REPEAT OF name TO NUMBER TIMES ;
addition   : ADD additionHead stageBody ;
additionHead : stageHead (AFTER | BEFORE) name ;
drop       : DROP dropped ;
dropped    : (STAGE | INPUT | LET | TABLE | SUPPLY | RECIPE | PART | OBSERVE | KEEP | AFTER) name
           | WORK STRING (IN name)?
           | (REQUIRE | ADVISE | NOTE | SOURCE | IF) STRING
           | WAIVE name
           | MIST | MOVE | SEASON | UNTIL | SPACE | ROOM | LOSES | YIELDS | TAKES | MINIMUM
           | HOLDS | PICKS | GRADES | DISCARD | UNDER NAME | IN WHOLE | STARTS WITHIN | MAY WAIT | NO WAIT ;
rename     : RENAME (renamedKind name TO name STRING? | WORK STRING IN name TO STRING) ;
// Another way to do part of it: a protocol of its own that is based on this one.
variant     : variantHead protocolBody ;
variantHead : VARIANT name STRING? ;
renamedKind : STAGE | PART | SUPPLY | INPUT | LET | TABLE | OBSERVE | ROOM | CREW ;

stage     : stageHead stageBody ;
stageHead : STAGE name (OF name | JOINS name WITH name INTO name) STRING? ;
stageBody : '{' stageItem* '}' ;
stageItem : after | takes | startsWithin | season | room | space | lasts | gate | mayWait | noWait | holds
          | loses | yields | picks | grades | discard | cover | whole | minimum | work | move
          | keep | taper | mist | irrigate | note | source | requirement | conditional | waive ;

after   : AFTER name (BY range)? ;
takes   : TAKES name ;
room    : ROOM name ;
space   : SPACE spaceLevel (',' spaceLevel)* ;
spaceLevel : formula (BY formula)? spaceUnit? days? ;
spaceUnit  : TAIL_WORD ;
startsWithin : STARTS WITHIN range OF name '.' edge ;
edge    : START | NAME ;
season  : SEASON yearDay TO yearDay ;
yearDay : NUMBER NAME ;
lasts   : LASTS range (USUALLY formula)? heat? ;
heat    : ABOVE formula (UP TO formula)? (BY name)? ;
gate    : UNTIL formula (','? AT MOST formula)? ;
range   : formula (TO formula)? ;
mayWait : MAY WAIT formula ;
noWait  : NO WAIT ;
// The comma tells its loss from that of the stage, which may stand behind it.
holds   : HOLDS formula (AT formula)? (',' LOSES formula)? ;
loses   : LOSES formula ;
yields  : YIELDS formula ;
picks   : PICKS pick (',' pick)* ;
pick    : formula ON dayRef ;
grades  : GRADES grade (',' grade)* ;
grade   : name formula gradeWay? ;
gradeWay : TAIL_WORD TAIL_WORD? ;
discard : DISCARD NAME ;
cover   : UNDER NAME ;
whole   : IN WHOLE name ;
minimum : MINIMUM formula ;

keep  : KEEP name half? level (',' level)* ;
level : (AT (LEAST | MOST))? formula (TO formula)? (FOR formula)? half? days? ;
taper : TAPER (MIST mistTaper | settingTaper) ;
settingTaper : name half? formula TO formula (FOR formula)? half? days? steps? ;
mistTaper : (formula TO formula)? EVERY formula (TO formula)? hours? days? steps? ;
mist  : MIST formula EVERY formula hours? days? ;
irrigate : IRRIGATE formula AT formula OF NAME days? ;
// Each time that so much light has come.
lightStart : AT formula OF NAME ;
hours : FROM TIME TO TIME ;
steps : IN NUMBER STEPS ;
half  : BY (DAY | NIGHT) ;
days  : ON dayRef
      | OVER formula
      | FROM dayRef ((TO | UNTIL) dayRef)?
      | UNTIL dayRef ;
dayRef : DAY NUMBER | LAST DAY ;

conditional     : conditionalHead conditionalBody ;
conditionalHead : IF formula ON dayRef ;
conditionalBody : '{' conditionalItem* '}' ;
conditionalItem : warn | work ;
warn            : WARN STRING ;

work     : DO workHead workBody? ;
workHead : STRING timing? hour* ;
move     : MOVE workBody? ;
timing   : AT START
         | ON dayRef (',' dayRef)*
         | BETWEEN dayRef AND dayRef
         | EVERY quantity repeatSpan?
         | DAILY repeatSpan? ;
repeatSpan : FROM dayRef ((TO | UNTIL) dayRef)? | UNTIL dayRef ;
// How late it may be, and when in the day.
hour     : within | AT TIME | IN NAME NAME | FIRST | AFTER STRING | OVERNIGHT ;
within   : WITHIN quantity ;
workBody : '{' workItem* '}' ;
workItem : rate | duration | setup | crew | people | use | tool | tagged | caution | record | note
         | noEntry ;

rate     : RATE formula ;
duration : TIME_ formula share? ;
setup    : SETUP formula ;
crew     : CREW name ;
people   : PEOPLE formula ;
use      : USE amount lightStart? (UNTIL name '.' NAME)? ;
amount   : NUMBER name share?
         | NUMBER unit name share?
         | COMPOUND name share?
         | '(' formula ')' name share? ;
share    : EACH | PER load | PER formula ;
// `per load of 60`, of 12 trays: so much for every load of a vessel that is begun.
load     : NAME OF (NUMBER | '(' formula ')') name? ;
tool     : TOOL STRING ;
tagged   : TAGGED name (',' name)* ;
caution  : CAUTION STRING ;
record   : RECORD name (IN unitText)? ;
noEntry  : NO ENTRY FOR formula AFTER ;

requirement : (REQUIRE | ADVISE) formula ELSE STRING ;
waive : WAIVE name ('.' name)? STRING ;

rules     : rulesHead rulesBody ;
rulesHead : RULES name STRING? ;
rulesBody : '{' rulesItem* '}' ;
rulesItem : edition | source | note | oneRule ;
oneRule   : ruleHead ruleBody ;
ruleHead  : RULE name STRING? ;
ruleBody  : '{' ruleItem* '}' ;
ruleItem  : source | note | forEach | requirement ;

forEach     : forEachHead forEachBody ;
forEachHead : FOR EACH (STEP FROM name TO name | selection) (WHERE formula)? ;
forEachBody : '{' forEachItem* '}' ;
forEachItem : forEach | requirement ;
selection   : (STAGE | WORK | PART) name? (TAGGED name)? place* ;
place       : (OF | IN | BEFORE | AFTER) path ;
path        : name ('.' member)* ;

formula     : conjunction (OR conjunction)* ;
conjunction : negation (AND negation)* ;
negation    : NOT negation | comparison ;
comparison  : sum (relation sum | BETWEEN sum AND sum)? ;
relation    : '<' | '<=' | '>' | '>=' | '=' | '!=' ;
sum         : product (sign product)* ;
sign        : '+' | '-' ;
product     : factor (times factor)* ;
times       : '*' | '/' ;
factor      : '-' factor | power ;
power       : primary ('^' factor)? ;
primary     : quantity
            | name '(' (formula (',' formula)*)? ')'
            | name ('.' member)+ (ON dayRef)?
            | name
            | name HAS NO? feature (ON dayRef)?
            | (SOME | NO | COUNT_OF) selection (WHERE formula)?
            | EVERY selection (WHERE formula)? MEETS formula
            | DATE
            | IF formula THEN formula ELSE formula
            | '(' formula ')' ;
quantity    : NUMBER unit? (PER unit)? | COMPOUND ;
unit        : NAME | DAY | '%' ;
unitText    : unit ('/' unit)* ;
name        : NAME ;
member      : NAME | START | LAST | PEOPLE | SPACE | ROOM | MIST | DAY | NIGHT | STAGE | PART
            | STEP ;
feature     : NAME | MIST | ROOM | SPACE | SEASON | WORK | CAUTION | CREW | RECORD | TOOL | SOURCE
            | NOTE | HAZARD NAME? ;

// Keywords
PROTOCOL : 'protocol' ;  EDITION : 'edition' ;  CROP : 'crop' ;      SOURCE : 'source' ;
NOTE     : 'note' ;      INPUT   : 'input' ;    LET  : 'let' ;       TABLE  : 'table' ;
SUPPLY   : 'supply' ;    PACK    : 'pack' ;     HAZARD : 'hazard' ;  REUSED : 'reused' ;
PART     : 'part' ;      STAGE   : 'stage' ;    OF   : 'of' ;        JOINS  : 'joins' ;
WITH     : 'with' ;      INTO    : 'into' ;     IN   : 'in' ;        AFTER  : 'after' ;
BY       : 'by' ;        ROOM    : 'room' ;     SPACE : 'space' ;    LASTS  : 'lasts' ;
USUALLY  : 'usually' ;   TO      : 'to' ;       MAY  : 'may' ;       WAIT   : 'wait' ;
NO       : 'no' ;        LOSES   : 'loses' ;    KEEP : 'keep' ;      TAPER  : 'taper' ;
MIST     : 'mist' ;      EVERY   : 'every' ;    FROM : 'from' ;      UNTIL  : 'until' ;
OVER     : 'over' ;      FOR     : 'for' ;      DAY  : 'day' ;       NIGHT  : 'night' ;
LAST     : 'last' ;      ON      : 'on' ;       DO   : 'do' ;        AT     : 'at' ;
START    : 'start' ;     STARTS : 'starts' ;  DAILY   : 'daily' ;    WITHIN : 'within' ;  RATE   : 'rate' ;
TIME_    : 'time' ;      CREW    : 'crew' ;     PEOPLE : 'people' ;  USE    : 'use' ;
EACH     : 'each' ;      PER     : 'per' ;      TOOL : 'tool' ;      TAGGED : 'tagged' ;
CAUTION  : 'caution' ;   RECORD  : 'record' ;   REQUIRE : 'require' ; ADVISE : 'advise' ;
ELSE     : 'else' ;      IF      : 'if' ;       THEN : 'then' ;      BETWEEN : 'between' ;
SEASON   : 'season' ;    ABOVE   : 'above' ;    UP   : 'up' ;        MOST    : 'most' ;
SEEN     : 'seen' ;      SCRAP   : 'scrap' ;    TAKES : 'takes' ;    YIELDS : 'yields' ;
DISCARD  : 'discard' ;   WHOLE   : 'whole' ;    MINIMUM : 'minimum' ; SETUP : 'setup' ;
LEAST    : 'least' ;     STEPS : 'steps' ;      WARN : 'warn' ;      WAIVE    : 'waive' ;
BASED    : 'based' ;     SET   : 'set' ;        CHANGE : 'change' ;  ADD      : 'add' ;
DROP     : 'drop' ;      RENAME : 'rename' ;    MOVE   : 'move' ;    VARIANT  : 'variant' ;
ENTRY    : 'entry' ;     RULES : 'rules' ;      RULE : 'rule' ;      STEP     : 'step' ;
WHERE    : 'where' ;     SOME  : 'some' ;       HAS      : 'has' ;
MEETS    : 'meets' ;     BEFORE : 'before' ;    WORK : 'work' ;
OBSERVE  : 'observe' ;   REPEAT  : 'repeat' ;   TIMES : 'times' ;    AND     : 'and' ;
OR      : 'or' ;       UNDER   : 'under' ;    FOOTPRINT : 'footprint' ; RECIPE : 'recipe' ;
HOLDS   : 'holds' ;    PICKS   : 'picks' ;    GRADES  : 'grades' ;  IRRIGATE : 'irrigate' ;
NOT     : 'not' ;

LBRACE : '{' ;  RBRACE : '}' ;  LPAREN : '(' ;  RPAREN : ')' ;  PERCENT : '%' ;

// Two words, so that `count` alone can be a name.
COUNT_OF : 'count' [ \t]+ 'of' ;

DATE     : DIGIT DIGIT DIGIT DIGIT '-' DIGIT DIGIT '-' DIGIT DIGIT ;
TIME     : DIGIT DIGIT? ':' DIGIT DIGIT ;
NUMBER   : DIGIT+ ('.' DIGIT+)? ;
// A quotient of units belongs to its number when no space stands around the slash: 120 umol/m2/s.
COMPOUND : NUMBER [ \t]* WORD ('/' WORD)+ ;
NAME     : WORD ;
STRING   : '"' (~["\\\r\n] | '\\' ~[\r\n])* '"' ;

COMMENT  : '#' ~[\r\n]* -> channel(HIDDEN) ;
// As other languages write them; said to be none.
FOREIGN_COMMENT : ('//' | '/*') ~[\r\n]* ;
SPACES   : [ \t\r\n\u00A0]+ -> skip ;

// What is left becomes a token all the same, so that the parser can report it in one way.
// A brace ends text that is never closed: it more likely opens the block of this line.
UNCLOSED : '"' (~["{}\\\r\n] | '\\' ~[\r\n])* ;
STRAY    : . ;

fragment DIGIT : [0-9] ;
fragment WORD  : (LETTER | [_\u00B0]) (LETTER | MARK | [0-9_\u00B2\u00B3\u00B0])* ;
// Rules of their own, so that these long sets are built once: that is half of what a program that starts waits for.
fragment LETTER : [\p{L}] ;
fragment MARK   : [\p{M}] ;
