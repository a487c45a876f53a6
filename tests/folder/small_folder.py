"""A small catalog folder of an invented workshop, in canonical form, to break in one place."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

CATALOG: Final = """\
name: Small catalog
shop: Quay Nine Motors
currency: EUR
currency_exponent: 2
policy:
  labour_rate_per_hour: "96.00"
  labour_basis: book time
  time_table: own times
  tax_basis: document
  prices_from: "own list, autumn"
  tax_of:
    part: goods
    kit: goods
    consumable: goods
    labour: services
    tool: services
    sent_out: services
    core_deposit: untaxed
tax_classes:
  - id: goods
    label: Goods
    rate_percent: "19.00"
  - id: services
    label: Services
    rate_percent: "7.00"
  - id: untaxed
    label: Untaxed
    rate_percent: "0.00"
facts:
  - name: model_year
    kind: whole
    label: Model year
    minimum: 1900
    maximum: 2100
  - name: family
    kind: text
    label: Engine family
    values: [tern, heron]
    question: "Which engine is it?"
  - name: displacement_cc
    kind: whole
    label: Displacement
    unit: cc
    minimum: 50
    maximum: 3000
  - name: wheelbase_mm
    kind: number
    label: Wheelbase
    unit: mm
  - name: sidecar
    kind: flag
    label: Sidecar
layers:
  - id: cam_chest
    label: Cam chest
    depth: 2
part_types:
  - id: camshaft
    label: Camshaft
    layer: cam_chest
    properties:
      - name: valve_lift_mm
        kind: number
        label: Valve lift
        unit: mm
        minimum: 5
        maximum: 20
      - name: lobes
        kind: whole
        label: Lobes
      - name: grind
        kind: text
        label: Grind
        values: [mild, hot]
      - name: hardened
        kind: flag
        label: Hardened
  - id: cam_gasket
    label: Cam cover gasket
    layer: cam_chest
    quantity: "vehicle.family == 'tern' ? 1 : 2"
  - id: oil
    label: Engine oil
    layer: cam_chest
    quantity: 3000
    counted_in: ml
consumables:
  - id: thread_sealant
    title: Thread sealant
    price: "1.20"
figures:
  - id: lift
    label: Valve lift
    value: camshaft.valve_lift_mm
    unit: mm
    digits: 2
"""

WORK: Final = """\
steps:
  - id: drain
    title: Drain and fill
    layer: cam_chest
    minutes: 15
    spends: [oil]
  - id: cam_cover_off
    title: Cam cover off and on
    layer: cam_chest
    minutes: "vehicle.sidecar ? 45 : 35"
    needs: [drain]
    spends: [cam_gasket]
    tools: [cam_puller]
    consumables:
      thread_sealant: 1
    send_out:
      title: Cam chest work away
      price: "85.00"
      lead_days: 3
      minutes: 10
    when: "vehicle.model_year >= 1950"
    note: Mark the timing first.
operations:
  - id: renew_camshaft
    title: Renew the camshaft
    ways:
      - id: cover_off
        title: Through the cam cover
        steps: [cam_cover_off]
    renews: [camshaft, cam_gasket]
  - id: change_oil
    title: Change the oil
    ways:
      - id: drained
        title: Drained
        steps: [drain]
    renews: [oil]
jobs:
  - id: cam_upgrade
    title: Cam upgrade
    wish: More lift
    renew: [camshaft]
    where:
      camshaft: "camshaft.valve_lift_mm > fitted.camshaft.valve_lift_mm"
"""

RULES: Final = """\
limits:
  - id: lift_limit
    sentence: The lift must clear the chest.
    basis: common practice
    limit: "camshaft.valve_lift_mm <= 14.0"
    unit: mm
requirements:
  - id: gasket_with_cam
    sentence: A new cam takes a new gasket.
    basis: common practice
    when: "renewed('camshaft')"
    renew: cam_gasket
    quantity: 2
exclusions:
  - id: no_hot_sidecar
    sentence: No hot cam with a sidecar.
    basis: common practice
    not_together:
      - vehicle.sidecar
      - "camshaft.grind == 'hot'"
recommendations:
  - id: oil_too
    sentence: The oil is out anyway.
    basis: common practice
    when: "doing('drain')"
    renew: oil
    life_km: 10000
cautions:
  - id: used_oil
    sentence: Used oil is hazardous waste.
    basis: common practice
    kind: waste
    steps: [drain]
"""

CASES: Final = """\
cases:
  - id: gasket_comes_along
    says: A cam upgrade brings its gasket.
    request:
      vehicle:
        id: tern_900
        facts:
          sidecar: false
      jobs: [cam_upgrade]
    expect:
      status: valid
      renews: [cam_gasket]
      rules: [gasket_with_cam]
"""

SMALL_FOLDER: Final[Mapping[str, str]] = {
    "catalog.yaml": CATALOG,
    "vehicles.csv": """\
id,label,model_year_from,model_year_to,family,displacement_cc
tern_900,Corvane Tern 900,1999,2006,tern,904
heron_1300,Corvane Heron 1300,2001,2010,heron,1298
""",
    "factory_parts.csv": """\
part_type,brand,number,model_year_from,model_year_to,family
camshaft,Corvane,T-100,,2002,tern
camshaft,Corvane,T-101,2003,,tern
cam_gasket,Corvane,G-1,,,
""",
    "parts/camshaft.csv": """\
brand,number,title,price,core_deposit,pack_quantity,stock,lead_days,condition,emission_class,\
life_km,status,supplier,note,valve_lift_mm,lobes,grind,hardened
Corvane,T-100,Factory camshaft,180.00,,,,,,,,withdrawn,,,10.5,4,mild,yes
Corvane,T-101,Factory camshaft,190.00,25.00,,3,2,,,80000,,Harbour Parts,,10.5,,mild,
Halden,HC-12,"Sport camshaft, hot",240.00,,,0,10,,replacement,60000,,,Needs set-up.,12.25,4,hot,no
""",
    "parts/cam_gasket.csv": """\
brand,number,title,price,core_deposit,pack_quantity,stock,lead_days,condition,emission_class,\
life_km,status,supplier,note
Corvane,G-1,Cam cover gasket,6.50,,2,,,,,,,,
""",
    "parts/oil.csv": """\
brand,number,title,price,core_deposit,pack_quantity,stock,lead_days,condition,emission_class,\
life_km,status,supplier,note
Lumen,L-20,Engine oil 1 l,11.90,,1000,,,,,,,,
""",
    "fitment.csv": """\
brand,number,family,displacement_cc,displacement_cc_from,wheelbase_mm_to,sidecar,fits,note
Corvane,T-101,tern|heron,,,,,,
Halden,HC-12,,904|1298,,1650.5,,,
Halden,HC-12,,,1300,,yes,no,Too hot for a sidecar.
Corvane,G-1,,,,,,,
Lumen,L-20,,,,,,,
""",
    "supersessions.csv": """\
old_brand,old_number,new_brand,new_number,note
Corvane,T-100,Corvane,T-101,Same grind.
Corvane,T-099,Corvane,T-100,
""",
    "kits.csv": """\
brand,number,title,price,stock,lead_days,supplier,note
Halden,HK-1,Cam kit,244.00,,4,,
""",
    "kit_contents.csv": """\
kit_brand,kit_number,brand,number,quantity
Halden,HK-1,Halden,HC-12,1
Halden,HK-1,Corvane,G-1,2
""",
    "tools.csv": """\
id,title,purpose,owned,hire_price,hire_lead_days,buy_price,resale_price,buy_lead_days
cam_puller,Cam puller,Draws the camshaft,,12.00,1,95.00,60.00,5
""",
    "work/engine.yaml": WORK,
    "rules/valve_train.yaml": RULES,
    "cases/cam.yaml": CASES,
}
"""Relative path to text. Every file is there once and every kind of record at least once."""
