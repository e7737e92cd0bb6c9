//! From sheet to pads, ports and joins.

use super::{WireRow, WiredPad, WiredPort, WiredUnit, WiringModel};
use crate::names::called;
use crate::{Placed, Proof};
use craft::schema::shape::{pad, pin, plug, port, rail};
use craft::schema::wiring::{ROLES, port_set, wire};
use craft::schema::{Field, air, drive, place};
use craft::{Item, PlugRef};
use fit::PartPoint;
use quantity::{Measure, Millimetres, Volts};
use wiring::{Join, Level, Lines, Pad, Port, Role, Wiring};

/// A cell at full charge and at the deepest sag that a craft is flown to, V, by chemistry.
const CELL_FULL: [(&str, f64); 3] =
    [("lithium polymer", 4.2), ("lithium polymer, high voltage", 4.35), ("lithium ion", 4.2)];
/// A cell under load at the end of a flight, V: common practice (land at 3.3 V under load). What a punch makes of it the supply works out;
/// this stands where that cannot be.
const CELL_SAG: f64 = 3.3;

impl WiringModel {
    /// The wiring of a craft; `None` if no part has pads or serial ports.
    pub(crate) fn of(proof: &Proof) -> Option<Self> {
        let mut model = WiringModel {
            units: Vec::new(),
            pads: Vec::new(),
            ports: Vec::new(),
            wires: Vec::new(),
            nets: Wiring::new(Vec::new(), Vec::new()).ok()?,
        };
        let pack = pack_volts(proof);
        for placed in proof.placed() {
            if placed.part.tables.contains_key(pin::TABLE.key)
                || placed.part.tables.contains_key(port::TABLE.key)
            {
                model.unit(proof, placed, pack);
            }
        }
        if model.units.is_empty() {
            return None;
        }
        for row in proof.craft.rows(&port_set::TABLE) {
            model.setting(&row);
        }
        for (number, row) in proof.craft.rows(&wire::TABLE).enumerate() {
            model.wire(number, &row);
        }
        model.lengths_of_places(proof);
        let pads = model.pads.iter().map(|pad| Pad {
            owner: pad.unit,
            role: pad.role,
            level: pad.port.map_or(Level::default(), |port| {
                let port = &model.ports[port].port;
                Level { high: port.level, stands: port.stands }
            }),
            port: pad.port,
        });
        let joins = model.wires.iter().flat_map(|wire| &wire.joins);
        let joins = joins.map(|[from, to]| Join { from: *from, to: *to }).collect();
        model.nets = Wiring::new(pads.collect(), joins).ok()?;
        Some(model)
    }

    fn unit(&mut self, proof: &Proof, placed: Placed, pack: Option<[f64; 2]>) {
        let unit = self.units.len();
        let number = proof.number_of(&placed.place.id).unwrap_or_default();
        let (place, kind) = (placed.place.id.clone(), placed.part.kind);
        self.units.push(WiredUnit { place, number, called: called(proof, placed), kind });
        let first = self.ports.len();
        for row in placed.part.rows(&port::TABLE) {
            let lines = match row.text(&port::LINES) {
                Ok("send only") => Lines { send: true, receive: false },
                Ok("receive only") => Lines { send: false, receive: true },
                _ => Lines::BOTH,
            };
            let read = |field| row.read(field).ok().map(|reading| reading.value);
            self.ports.push(WiredPort {
                unit,
                name: row.name().unwrap_or("serial port").to_owned(),
                lines,
                port: Port {
                    lines,
                    inverts: row.flag(&port::INVERTER) == Ok(true),
                    level: read(&port::LEVEL),
                    stands: read(&port::STANDS),
                    rate_max: row.read(&port::RATE_MAX).ok().map(|reading| reading.value),
                },
                rate: row.read(&port::RATE).ok().map(|reading| reading.value.raw()),
                inverted: row.flag(&port::INVERTED) == Ok(true),
                kept_for: row.text(&port::KEPT_FOR).ok().map(str::to_owned),
                set: None,
            });
        }
        let mut pads: Vec<WiredPad> = placed
            .part
            .rows(&pin::TABLE)
            .enumerate()
            .map(|(number, row)| self.pad(proof, placed, unit, (number, &row), first, pack))
            .collect();
        // Plug by plug as they first come, each in its true order.
        let mut plugs: Vec<Option<String>> = Vec::new();
        for pad in &pads {
            if !plugs.contains(&pad.plug) {
                plugs.push(pad.plug.clone());
            }
        }
        let rank = |pad: &WiredPad| plugs.iter().position(|plug| plug == &pad.plug);
        pads.sort_by_key(|pad| (rank(pad), pad.number.unwrap_or(u32::MAX)));
        self.pads.extend(pads);
    }

    fn pad(
        &self,
        proof: &Proof,
        placed: Placed,
        unit: usize,
        (number, row): (usize, &Item),
        first: usize,
        pack: Option<[f64; 2]>,
    ) -> WiredPad {
        let part = placed.part;
        let role = row.text(&pin::ROLE).ok().and_then(|word| ROLES.iter().position(|role| *role == word));
        let role = role.and_then(|role| Role::ALL.get(role).copied());
        let port = row
            .text(&pin::PORT)
            .ok()
            .and_then(|name| (first..self.ports.len()).find(|port| self.ports[*port].name == name));
        let volts =
            |item: &Item, field: &Field<Volts>| item.read(field).ok().map(|reading| reading.value.raw());
        let rail_name = row.text(&pin::RAIL).ok();
        let gives = match (role, rail_name) {
            (Some(Role::SupplyOut), Some("pack")) => pack,
            (Some(Role::SupplyOut), None) if part.kind == craft::schema::PartKind::Pack => pack,
            (Some(Role::SupplyOut), Some(name)) => part
                .row_named(&rail::TABLE, name)
                .and_then(|rail| volts(&rail, &rail::OUT))
                .map(|volts| [volts, volts]),
            _ => None,
        };
        let own = part.item();
        let has = |key: &str| part.kind.def().fields.iter().any(|def| def.key == key);
        let of_part = |field: &Field<Volts>| has(field.def.key).then(|| volts(&own, field)).flatten();
        let plug_name = row.text(&pin::PLUG).ok();
        let at = proof.seats().get(proof.number_of(&placed.place.id).unwrap_or_default());
        let at = at.and_then(|seat| seat.as_ref().ok()).map(|seat| {
            let spot = plug_name
                .and_then(|name| part.row_named(&plug::TABLE, name))
                .or_else(|| part.row_named(&pad::TABLE, row.name()?));
            let mm = |field: &Field<Millimetres>| {
                spot.as_ref()
                    .and_then(|spot: &Item| spot.read(field).ok())
                    .map_or(0.0, |reading| reading.value.raw())
            };
            use craft::schema::shape::{X, Y, Z};
            let at = seat.pose.point(PartPoint::new(mm(&X), mm(&Y), mm(&Z)));
            [at.x(), at.y(), at.z()]
        });
        WiredPad {
            unit,
            name: row.name().map_or_else(|| format!("pin {}", number + 1), str::to_owned),
            plug: plug_name.map(str::to_owned),
            number: row.count(&pin::NUMBER).ok(),
            role,
            carries: row.text(&pin::CARRIES).ok().map(str::to_owned),
            port,
            rail: rail_name.map(str::to_owned),
            needs: [
                volts(row, &pin::LEAST).or_else(|| of_part(&air::SUPPLY_MIN)),
                volts(row, &pin::GREATEST).or_else(|| of_part(&air::SUPPLY_MAX)),
            ],
            gives,
            at,
        }
    }

    /// Where a place says how long its supply wires are and the wire says nothing, that is the length of the wire there and of the one back.
    fn lengths_of_places(&mut self, proof: &Proof) {
        let is = |model: &Self, pad: usize, role: Role| model.pads[pad].role == Some(role);
        let mut said: Vec<([usize; 2], f64)> = Vec::new();
        for wire in &self.wires {
            let &[[a, b]] = wire.joins.as_slice() else { continue };
            let fed = match (is(self, a, Role::SupplyIn), is(self, b, Role::SupplyIn)) {
                (true, false) => a,
                (false, true) => b,
                _ => continue,
            };
            let units = [a, b].map(|pad| self.pads[pad].unit);
            let to = &self.units[self.pads[fed].unit];
            let length = proof
                .placed_number(to.number)
                .and_then(|placed| placed.place.item().read(&place::SUPPLY_LENGTH).ok());
            said.extend(length.map(|length| (units, length.value.raw())));
        }
        let length_of = |model: &Self, wire: &WireRow| {
            let &[[a, b]] = wire.joins.as_slice() else { return None };
            let supply = is(model, a, Role::SupplyIn) || is(model, b, Role::SupplyIn);
            let ground = is(model, a, Role::Ground) && is(model, b, Role::Ground);
            let [one, other] = [a, b].map(|pad| model.pads[pad].unit);
            let between = |(units, _): &&([usize; 2], f64)| *units == [one, other] || *units == [other, one];
            let mut found = said.iter().filter(between);
            // Two supplies between the same two parts: nobody knows which of them is meant.
            match (found.next(), found.next()) {
                (Some((_, length)), None) if supply || ground => Some(*length),
                _ => None,
            }
        };
        let lengths: Vec<Option<f64>> =
            self.wires.iter().map(|wire| wire.length.or_else(|| length_of(self, wire))).collect();
        self.wires.iter_mut().zip(lengths).for_each(|(wire, length)| wire.length = length);
    }

    fn setting(&mut self, row: &Item) {
        let (Ok(port), Ok(function)) = (row.text(&port_set::PORT), row.text(&port_set::FUNCTION)) else {
            return;
        };
        let Some(named) = PlugRef::read(port) else { return };
        let Some(unit) = self.unit_at(&named.place) else { return };
        let rate = row.read(&port_set::RATE).ok().map(|reading| reading.value.raw());
        let port = self.ports.iter_mut().find(|port| port.unit == unit && port.name == named.plug);
        if let Some(port) = port {
            port.set = Some((function.to_owned(), rate));
        }
    }

    fn wire(&mut self, number: usize, row: &Item) {
        let (Ok(from), Ok(to)) = (row.text(&wire::FROM), row.text(&wire::TO)) else { return };
        let (Some(a), Some(b)) = (PlugRef::read(from), PlugRef::read(to)) else { return };
        let pad = |end: &PlugRef| {
            let unit = self.unit_at(&end.place)?;
            self.pads_of(unit).find(|pad| self.pads[*pad].name == end.plug)
        };
        let plug = |end: &PlugRef| {
            let unit = self.unit_at(&end.place)?;
            let any = self.pads_of(unit).any(|pad| self.pads[pad].plug.as_deref() == Some(end.plug.as_str()));
            any.then(|| (unit, end.plug.clone()))
        };
        let (joins, lead) = match (pad(&a), pad(&b), plug(&a), plug(&b)) {
            (Some(a), Some(b), _, _) => (vec![[a, b]], None),
            (_, _, Some(a), Some(b)) => {
                let pins = |(unit, plug): &(usize, String)| -> Vec<(u32, usize)> {
                    let on = |pad: &usize| self.pads[*pad].plug.as_ref() == Some(plug);
                    let number = |pad: usize| Some((self.pads[pad].number?, pad));
                    self.pads_of(*unit).filter(on).filter_map(number).collect()
                };
                let (first, second) = (pins(&a), pins(&b));
                let meets = |(number, pad): &(u32, usize)| {
                    second.iter().find(|(other, _)| other == number).map(|(_, other)| [*pad, *other])
                };
                (first.iter().filter_map(meets).collect(), Some([a, b]))
            }
            _ => (Vec::new(), None),
        };
        self.wires.push(WireRow {
            row: number,
            ends: [from.to_owned(), to.to_owned()],
            joins,
            lead,
            gauge: row.count(&wire::GAUGE).ok(),
            colour: row.text(&wire::COLOUR).ok().map(str::to_owned),
            length: row.read(&wire::LENGTH).ok().map(|reading| reading.value.raw()),
            note: row.text(&wire::NOTE).ok().map(str::to_owned),
        });
    }
}

/// What the pack gives at the deepest sag and at full charge.
fn pack_volts(proof: &Proof) -> Option<[f64; 2]> {
    let pack = proof.places_of(craft::schema::PartKind::Pack).next()?.part.item();
    let cells = f64::from(pack.count(&drive::CELLS).ok()?);
    let chemistry = pack.text(&drive::CHEMISTRY).ok()?;
    let (_, full) = CELL_FULL.iter().find(|(word, _)| *word == chemistry)?;
    Some([cells * CELL_SAG, cells * full])
}
